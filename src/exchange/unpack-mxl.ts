import { strFromU8, unzipSync } from 'fflate';

/** A compressed score that cannot be unpacked, with a sentence. */
export class BadArchive extends Error {}

/** What an archive may hold unpacked, bytes, and how many files. */
const mostBytes = 32 << 20;
const mostFiles = 200;

/**
 * The score within a compressed MusicXML file (.mxl): a zip archive with a container that names it. Only these two are unpacked,
 * and neither if it says that it is larger than any score. Throws `BadArchive`.
 */
export function unpackMxl(bytes: Uint8Array): string {
  const container = text(one(bytes, 'META-INF/container.xml'));
  const path = /<rootfile\b[^>]*\bfull-path\s*=\s*["']([^"']{1,200})["']/.exec(container)?.[1];
  if (path === undefined) throw new BadArchive('its container names no score');
  return text(one(bytes, path.replace(/&amp;/g, '&')));
}

function one(bytes: Uint8Array, wanted: string): Uint8Array {
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
    throw new BadArchive('the archive is damaged');
  }
  if (tooLarge) throw new BadArchive(`its score would have more than ${mostBytes >> 20} MiB`);
  if (!found) throw new BadArchive(`it has no ${wanted}`);
  return found;
}

/** UTF-8, or UTF-16 where it begins with its mark. */
function text(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  return strFromU8(bytes).replace(/^\ufeff/, '');
}
