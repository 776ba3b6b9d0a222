import { basename } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { parseMeter, parseTempo } from '../chart/change.js';
import { mostTold } from '../chart/fault.js';
import type { LettersReader } from '../exchange/format.js';
import { readsBack } from '../exchange/written-chart.js';
import { keyName } from '../theory/key.js';
import { exit, Stop, say } from './exit.js';
import { printChart, tellRemarks } from './import-file.js';
import { count, faultText } from './load.js';
import { keyFlag } from './play-options.js';

/** What a sheet of letters must be told, and can be. */
export interface LetterFlags {
  readonly key?: string;
  readonly tempo?: string;
  readonly meter?: string;
  readonly title?: string;
  readonly skipWords?: boolean;
  readonly keepWords?: boolean;
}

/** Prints a chart made from a plain sheet of letters. */
export function importLetterSheet(
  file: string,
  bytes: Uint8Array,
  read: LettersReader,
  flags: LetterFlags,
): number {
  if (flags.key === undefined)
    throw new Stop(exit.call, 'a sheet of letters does not name its key', 'add it: --key A');
  const key = keyFlag(flags.key);
  const tempo = parseTempo(flags.tempo ?? '120');
  if (!tempo.ok) throw new Stop(exit.call, `--tempo ${tempo.fault.message}`);
  const meter = parseMeter(flags.meter ?? '4/4');
  if (!meter.ok) throw new Stop(exit.call, `--meter ${meter.fault.message}`);
  const text = utf8Text(file, bytes);
  const sheet = read(text, {
    title: flags.title ?? basename(file).replace(/\.[^.]*$/, ''),
    key,
    keyText: keyName(key),
    tempoText: flags.tempo ?? '120',
    meterText: flags.meter ?? '4/4',
    skipWords: flags.skipWords ?? false,
    keepWords: flags.keepWords ?? false,
  });
  const lines = text.split('\n');
  for (const fault of sheet.faults.slice(0, mostTold)) say(...faultText({ file, lines }, fault));
  if (sheet.faults.length > 0)
    throw new Stop(
      exit.input,
      `${safeText(file)} has ${count(sheet.faults)}${sheet.faults.length > mostTold ? `; the first ${mostTold} are shown` : ''}`,
      sheet.faults.some(({ message }) => message.includes('--skip-words'))
        ? 'correct them; or leave out lines of lyrics with --skip-words, or keep them with --keep-words'
        : 'correct them, and import the sheet again',
    );
  const skipped = sheet.skipped.map((line) => ({
    place: { line, column: 1 },
    message: `left out: ${(lines[line - 1] ?? '').trim().slice(0, 80)}`,
  }));
  tellRemarks(file, [...sheet.remarks, ...skipped]);
  return printChart(file, readsBack(sheet.text));
}

function utf8Text(file: string, bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new Stop(exit.input, `${safeText(file)} is not UTF-8 text`, 'save it as UTF-8');
  }
}
