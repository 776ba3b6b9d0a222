import {
  existsSync,
  mkdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, join, sep } from 'node:path';
import { folders } from './folders.js';

/** Where a text was written, or a sentence that says why it was not. */
export type Writing =
  | { readonly ok: true; readonly file: string }
  | { readonly ok: false; readonly reason: string };

/**
 * Writes a chart's text over what its file holds, if that is still `before`, by writing aside and renaming. A demo chart
 * stays as it is: its new text goes into a file of the same name in the user's own folder.
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
    if (readFileSync(path, 'utf8') !== before)
      return {
        ok: false,
        reason: 'the file has been changed by something else meanwhile; open it again before you write',
      };
    const aside = `${path}.${process.pid}`;
    writeFileSync(aside, text, { mode: statSync(path).mode & 0o777, flag: 'wx' });
    renameSync(aside, path);
    return { ok: true, file: path };
  } catch (error) {
    return { ok: false, reason: writeSentence(file, error) };
  }
}

/** Writes a chart into the user's own folder, under a name that is still free. */
export function writeNewChart(name: string, text: string, charts: string = folders.charts): Writing {
  try {
    mkdirSync(charts, { recursive: true });
    const file = freeName(join(charts, name));
    writeFileSync(file, text, { flag: 'wx' });
    return { ok: true, file };
  } catch (error) {
    return { ok: false, reason: writeSentence(join(charts, name), error) };
  }
}

/** The path itself, or with the first number behind it that makes it free. */
function freeName(path: string): string {
  const stem = path.replace(/\.ya?ml$/i, '');
  for (let number = 1; ; number += 1) {
    const one = number === 1 ? path : `${stem}-${number}.yaml`;
    if (!existsSync(one)) return one;
  }
}

function writeSentence(file: string, error: unknown): string {
  const { code } = error as NodeJS.ErrnoException;
  const why =
    code === 'EACCES' || code === 'EPERM'
      ? 'its permissions forbid it'
      : code === 'ENOSPC'
        ? 'the disk is full'
        : code === 'EROFS'
          ? 'the disk is read-only'
          : (code ?? 'unknown reason');
  return `${file} could not be written: ${why}; what you wrote holds on the stand only`;
}
