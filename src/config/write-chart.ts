import { existsSync, realpathSync } from 'node:fs';
import { basename, join, sep } from 'node:path';
import { sizeLimit } from '../chart/yaml-source.js';
import { folders } from './folders.js';
import { readRegular } from './regular.js';
import { notWritten } from './why-not.js';
import { writeWhole } from './write-file.js';

/**
 * Where a text was written, or a sentence that says why it was not. Where it is this one file that cannot take it, another
 * may: `elsewhere` says in a few words why it cannot.
 */
export type Writing =
  | { readonly ok: true; readonly file: string }
  | { readonly ok: false; readonly reason: string; readonly elsewhere: string | null };

/**
 * Writes a chart's text over what its file holds, if that is still `before`. A demo chart stays as it is: its new text goes
 * into a file of the same name in the user's own folder.
 */
export function writeChartText(
  file: string,
  text: string,
  before: string,
  { demo, charts }: { demo: string; charts: string } = folders,
): Writing {
  try {
    const path = realpathSync(file);
    if (path.startsWith(realpathSync(demo) + sep)) return writeNewChart(basename(path), text, charts);
    if (textOf(path) !== before)
      return {
        ok: false,
        reason: 'another program has changed the file in the meantime',
        elsewhere: 'changed by another program',
      };
    return { ok: true, file: writeWhole(path, text, { over: true }) };
  } catch (error) {
    return refusal(file, error, true);
  }
}

/** The text a file holds, a byte order mark kept; as much of it as a chart can have. */
function textOf(path: string): string {
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(readRegular(path, sizeLimit));
}

/** Writes a chart into the user's own folder, under a name that is still free. */
export function writeNewChart(name: string, text: string, charts: string = folders.charts): Writing {
  const wanted = join(charts, name);
  try {
    return { ok: true, file: writeWhole(freeName(wanted), text, { over: false }) };
  } catch (error) {
    return refusal(wanted, error, false);
  }
}

/** The path itself, or with the first number after it that makes it free. */
function freeName(path: string): string {
  const stem = path.replace(/\.ya?ml$/i, '');
  for (let number = 1; ; number += 1) {
    const one = number === 1 ? path : `${stem}-${number}.yaml`;
    if (!existsSync(one)) return one;
  }
}

function refusal(file: string, error: unknown, own: boolean): Writing {
  const { message, blame } = notWritten(error);
  return {
    ok: false,
    reason: `${file} could not be written: ${message}; your change is kept only until you close the chart`,
    // A disk that is full is so for other files too.
    elsewhere: own && blame !== 'machine' ? message : null,
  };
}
