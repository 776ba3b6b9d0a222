import { basename } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { parseMeter, parseTempo } from '../chart/change.js';
import { importLetters } from '../chart/import-letters.js';
import { readInput, Unreadable } from '../config/files.js';
import { keyName } from '../theory/key.js';
import { exit, Stop, say } from './exit.js';
import { count, faultText } from './load.js';
import { keyFlag } from './play-options.js';

/** What `import` can be told, as commander gives it. */
export interface ImportFlags {
  readonly key?: string;
  readonly tempo?: string;
  readonly meter?: string;
  readonly title?: string;
  readonly skipWords?: boolean;
}

/** Prints a chart made from a plain sheet of letters. */
export function importSheet(file: string, flags: ImportFlags): number {
  if (flags.key === undefined)
    throw new Stop(exit.call, 'a sheet of letters does not say its key', 'give it: --key A');
  const key = keyFlag(flags.key);
  const tempo = parseTempo(flags.tempo ?? '120');
  if (!tempo.ok) throw new Stop(exit.call, `--tempo ${tempo.fault.message}`);
  const meter = parseMeter(flags.meter ?? '4/4');
  if (!meter.ok) throw new Stop(exit.call, `--meter ${meter.fault.message}`);
  const text = readSheet(file);
  const sheet = importLetters(text, {
    title: flags.title ?? basename(file).replace(/\.[^.]*$/, ''),
    key,
    keyText: keyName(key),
    tempoText: flags.tempo ?? '120',
    meterText: flags.meter ?? '4/4',
    skipWords: flags.skipWords ?? false,
  });
  const lines = text.split('\n');
  for (const fault of sheet.faults) say(faultText({ file, lines }, fault));
  if (sheet.faults.length > 0)
    throw new Stop(
      exit.input,
      `${safeText(file)} has ${count(sheet.faults)}`,
      'mend them, or leave lines of words out with --skip-words',
    );
  for (const line of sheet.skipped)
    say(`${safeText(file)}:${line}: left out: ${safeText((lines[line - 1] ?? '').trim().slice(0, 80))}`);
  process.stdout.write(sheet.text);
  return exit.done;
}

function readSheet(file: string): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(readInput(file));
  } catch (error) {
    if (error instanceof Unreadable) throw new Stop(exit.call, safeText(error.message));
    throw new Stop(exit.input, `${safeText(file)} is not UTF-8 text`, 'save it as UTF-8');
  }
}
