import { unzipSync } from 'fflate';
import { good, misread, type Outcome } from '../base/outcome.js';
import { decodedText } from './decoded-text.js';

/** What an archive may hold unpacked, bytes, and how many files. */
const mostBytes = 32 << 20;
const mostFiles = 200;

/**
 * The score within a compressed MusicXML file (.mxl): a zip archive with a container that names it. Only these two are unpacked,
 * and neither if it says that it is larger than any score. A fault's place says nothing: the text is packed.
 */
export function unpackMxl(bytes: Uint8Array): Outcome<string> {
  const container = unpacked(bytes, 'META-INF/container.xml');
  if (!container.ok) return container;
  const path = /<rootfile\b[^>]*\bfull-path\s*=\s*["']([^"']{1,200})["']/.exec(container.value)?.[1];
  if (path === undefined) return misread('its table of contents (container.xml) names no score');
  return unpacked(bytes, path.replace(/&amp;/g, '&'));
}

function unpacked(bytes: Uint8Array, wanted: string): Outcome<string> {
  let count = 0;
  let tooLarge = false;
  let found: Uint8Array | undefined;
  try {
    const files = unzipSync(bytes, {
      filter: ({ name, originalSize }) => {
        count += 1;
        if (count > mostFiles) return false;
        if (name === wanted && originalSize > mostBytes) tooLarge = true;
        return name === wanted && originalSize <= mostBytes;
      },
    });
    found = files[wanted];
  } catch {
    return misread('the archive is damaged');
  }
  if (tooLarge) return misread(`its score is larger than ${mostBytes >> 20} MiB`);
  return found ? good(decodedText(found)) : misread(`it has no ${wanted}`);
}
