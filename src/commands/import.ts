import { statSync } from 'node:fs';
import { basename } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { parseMeter, parseTempo } from '../chart/change.js';
import { mostTold } from '../chart/fault.js';
import { importLetters } from '../chart/import-letters.js';
import { Oversized, readInput, Unreadable } from '../config/files.js';
import { abcTunes, readAbc } from '../exchange/abc-read.js';
import type { LeadSheet, Remark } from '../exchange/lead-sheet.js';
import { BadScore, readMusicXml } from '../exchange/musicxml-read.js';
import { chartFromSheet } from '../exchange/sheet-to-chart.js';
import { BadArchive, unpackMxl } from '../exchange/unpack-mxl.js';
import { readsBack, type WrittenChart, writtenChart } from '../exchange/written-chart.js';
import { keyName } from '../theory/key.js';
import { exit, print, printDocument, Stop, say } from './exit.js';
import { filesToImport, importAll, type ReadSong, type Source } from './import-all.js';
import { count, faultText } from './load.js';
import { keyFlag, wholeFlag } from './play-options.js';

/** What `import` can be told, as commander gives it. */
export interface ImportFlags {
  readonly key?: string;
  readonly tempo?: string;
  readonly meter?: string;
  readonly title?: string;
  readonly skipWords?: boolean;
  readonly tune?: string;
  readonly list?: boolean;
  readonly all?: string;
  readonly force?: boolean;
}

/** The most that is read of a file in another format, bytes. */
const importLimit = 16 << 20;

/** Prints charts made from ABC, MusicXML, or a plain sheet of letters: which of them a file is, its content says. */
export function importFile(file: string, flags: ImportFlags): number {
  if (flags.all !== undefined) {
    const files = isFolder(file) ? filesToImport(file) : [file];
    const sources = files.flatMap((one, index) => sourcesOf(one, index + 1));
    return importAll(sources, flags.all, flags.force ?? false);
  }
  if (isFolder(file))
    throw new Stop(exit.call, `${safeText(file)} is a folder`, 'bring in all that is in it: --all FOLDER');
  const bytes = readForImport(file);
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) return importScore(file, () => unpackMxl(bytes), flags);
  const text = decoded(bytes);
  if (isXml(text)) return importScore(file, () => text, flags);
  if (/^\ufeff?(?:%|X:)/.test(text) || /^X:\s*\d/m.test(text)) return importAbc(file, text, flags);
  if (flags.list || flags.tune !== undefined)
    throw new Stop(exit.call, `${safeText(file)} is no ABC file: --tune and --list are for those`);
  return importSheet(file, bytes, flags);
}

function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    // Reading it says why.
    return false;
  }
}

function isXml(text: string): boolean {
  return /^\ufeff?\s*</.test(text);
}

function readForImport(file: string): Uint8Array {
  try {
    return readInput(file, importLimit);
  } catch (error) {
    if (error instanceof Oversized) throw new Stop(exit.input, safeText(error.message));
    if (error instanceof Unreadable) throw new Stop(exit.call, safeText(error.message));
    throw error;
  }
}

/** UTF-8, or UTF-16 where it begins with its mark; else Latin 1, as old files have it. */
function decoded(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return new TextDecoder('latin1').decode(bytes);
  }
}

/** A MusicXML score as a chart. */
function importScore(file: string, textOf: () => string, flags: ImportFlags): number {
  const read = scoreOrFault(file, textOf);
  if (typeof read === 'string') throw new Stop(exit.input, safeText(read));
  return printSheet(file, read, flags);
}

/** A tune of an ABC file as a chart, a list of its tunes, or all of them as files. */
function importAbc(file: string, text: string, flags: ImportFlags): number {
  const tunes = abcTunes(text);
  if (flags.list) {
    for (const { number, title } of tunes) print(`${String(number).padStart(5)}  ${safeText(title)}`);
    return exit.done;
  }
  if (flags.tune === undefined) {
    const [only] = tunes;
    if (tunes.length === 1 && only) return printSheet(file, readAbc(only), flags);
    throw new Stop(
      exit.call,
      tunes.length === 0 ? `${safeText(file)} has no tune` : `${safeText(file)} has ${tunes.length} tunes`,
      '--tune N brings one in, --list names them, --all FOLDER brings in all of them',
    );
  }
  const wanted = wholeFlag('tune', flags.tune, 0, 1_000_000);
  const tune = tunes.find(({ number }) => number === wanted);
  if (!tune)
    throw new Stop(exit.call, `${safeText(file)} has no tune ${wanted}`, '--list names the tunes there are');
  return printSheet(file, readAbc(tune), flags);
}

/** The songs of a file, whichever format it has; a sentence where it cannot be read. */
function sourcesOf(file: string, number: number): readonly Source[] {
  const whole = (read: Source['read']): readonly Source[] => [{ file, line: 1, number, title: '', read }];
  let bytes: Uint8Array;
  try {
    bytes = readForImport(file);
  } catch (error) {
    if (error instanceof Stop) return whole(() => error.what);
    throw error;
  }
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) return whole(() => scoreOrFault(file, () => unpackMxl(bytes)));
  const text = decoded(bytes);
  if (isXml(text)) return whole(() => scoreOrFault(file, () => text));
  return abcTunes(text).map(
    (tune): Source => ({
      file,
      line: tune.first,
      number: tune.number,
      title: tune.title,
      read: () => readAbc(tune),
    }),
  );
}

/** A score, or a sentence with its place that says why it is none. */
function scoreOrFault(file: string, textOf: () => string): ReadSong | string {
  try {
    return readMusicXml(textOf().replace(/^\ufeff/, ''));
  } catch (error) {
    if (error instanceof BadArchive) return `${file}: ${error.message}`;
    if (error instanceof BadScore)
      return `${file}:${error.place.line}:${error.place.column}: ${error.message}`;
    throw error;
  }
}

/** Prints a chart made from a lead sheet; what was left out or read otherwise goes to stderr. */
function printSheet(file: string, read: ReadSong, flags: ImportFlags): number {
  const { chart, remarks } = chartFromSheet(withFlags(read.sheet, flags));
  tellRemarks(file, [...read.remarks, ...remarks]);
  if (read.chords === 0)
    throw new Stop(
      exit.input,
      `${safeText(read.sheet.title)} has no chords`,
      'a chart is made of chord symbols; without them there is nothing to bring in',
    );
  printDocument(readable(file, writtenChart(chart)));
  return exit.done;
}

/** The text, which reads; where there is none, why. */
function readable(file: string, written: WrittenChart): string {
  if ('text' in written) return written.text;
  throw new Stop(
    exit.input,
    `${safeText(file)}: ${written.reason}`,
    'mend the file, or take down a chart by hand',
  );
}

/** Tells what was left out or read otherwise: the first hundred, and how many more there are. */
function tellRemarks(file: string, remarks: readonly Remark[]): void {
  for (const { place, message } of remarks.slice(0, mostTold))
    say(`${safeText(file)}:${place.line}:${place.column}: ${safeText(message)}`);
  if (remarks.length > mostTold) say(`${safeText(file)}: and ${remarks.length - mostTold} more like these`);
}

/** A tempo and title that are given go before those of the file. */
function withFlags(sheet: LeadSheet, flags: ImportFlags): LeadSheet {
  const tempo = flags.tempo === undefined ? null : parseTempo(flags.tempo);
  if (tempo && !tempo.ok) throw new Stop(exit.call, `--tempo ${tempo.fault.message}`);
  return { ...sheet, title: flags.title ?? sheet.title, tempo: tempo?.ok ? tempo.value : sheet.tempo };
}

/** Prints a chart made from a plain sheet of letters. */
function importSheet(file: string, bytes: Uint8Array, flags: ImportFlags): number {
  if (flags.key === undefined)
    throw new Stop(exit.call, 'a sheet of letters does not say its key', 'give it: --key A');
  const key = keyFlag(flags.key);
  const tempo = parseTempo(flags.tempo ?? '120');
  if (!tempo.ok) throw new Stop(exit.call, `--tempo ${tempo.fault.message}`);
  const meter = parseMeter(flags.meter ?? '4/4');
  if (!meter.ok) throw new Stop(exit.call, `--meter ${meter.fault.message}`);
  const text = sheetText(file, bytes);
  const sheet = importLetters(text, {
    title: flags.title ?? basename(file).replace(/\.[^.]*$/, ''),
    key,
    keyText: keyName(key),
    tempoText: flags.tempo ?? '120',
    meterText: flags.meter ?? '4/4',
    skipWords: flags.skipWords ?? false,
  });
  const lines = text.split('\n');
  for (const fault of sheet.faults.slice(0, mostTold)) say(...faultText({ file, lines }, fault));
  if (sheet.faults.length > 0)
    throw new Stop(
      exit.input,
      `${safeText(file)} has ${count(sheet.faults)}${sheet.faults.length > mostTold ? `; the first ${mostTold} are shown` : ''}`,
      'mend them, or leave lines of words out with --skip-words',
    );
  tellRemarks(
    file,
    sheet.skipped.map((line) => ({
      place: { line, column: 1 },
      message: `left out: ${(lines[line - 1] ?? '').trim().slice(0, 80)}`,
    })),
  );
  printDocument(readable(file, readsBack(sheet.text)));
  return exit.done;
}

function sheetText(file: string, bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new Stop(exit.input, `${safeText(file)} is not UTF-8 text`, 'save it as UTF-8');
  }
}
