import type { Outcome } from '../base/outcome.js';
import { safeText } from '../base/safe-text.js';
import { parseTempo } from '../chart/change.js';
import type { FoundSong } from '../exchange/format.js';
import type { LeadSheet, Remark, SheetRead } from '../exchange/lead-sheet.js';
import { withoutMelody } from '../exchange/melody.js';
import { chartFromSheet } from '../exchange/sheet-to-chart.js';
import { sungLeftOut, withSungWords } from '../exchange/sung-words.js';
import { writtenChart } from '../exchange/written-chart.js';
import { type Key, sameKey } from '../theory/key.js';
import { exit, print, Stop, say } from './exit.js';
import { filesToImport, importAll } from './import-all.js';
import {
  faultSentence,
  isFolder,
  openForImport,
  printChart,
  tellRemarks,
  withoutChords,
} from './import-file.js';
import { importLetterSheet, type LetterFlags } from './import-letters.js';
import { keyFlag } from './play-options.js';

/** The options of `import`. */
export interface ImportFlags extends LetterFlags {
  readonly tune?: number;
  readonly list?: boolean;
  readonly all?: string;
  readonly force?: boolean;
  readonly words?: boolean;
  readonly melody?: boolean;
}

/** Prints a chart made from a file in another format, lists its tunes, or makes charts of all of them. */
export async function importFile(file: string, flags: ImportFlags): Promise<number> {
  if (flags.all !== undefined) {
    const forOne = (['key', 'tempo', 'meter', 'title'] as const).filter((name) => flags[name] !== undefined);
    if (forOne.length > 0)
      throw new Stop(
        exit.call,
        `--${forOne[0]} is for one song; with --all, each song has its own`,
        `leave out --${forOne[0]}, or import one song without --all`,
      );
    const files = isFolder(file) ? filesToImport(file) : [file];
    const wanted = (read: Outcome<SheetRead, string>): Outcome<SheetRead, string> => wordsOf(read, flags);
    return importAll(files, flags.all, { force: flags.force ?? false, wanted });
  }
  if (isFolder(file))
    throw new Stop(exit.call, `${safeText(file)} is a folder`, 'import everything in it: --all FOLDER');
  const { bytes, format } = openForImport(file);
  const { reader } = format;
  if (reader.kind === 'songs') return importSong(file, (await reader.load())(bytes), flags);
  if (flags.list || flags.tune !== undefined)
    throw new Stop(
      exit.call,
      `${safeText(file)} is not an ABC file; --tune and --list are only for ABC files`,
    );
  return importLetterSheet(file, bytes, await reader.load(), flags);
}

/** One of a file's songs as a chart, or a list of them. */
function importSong(file: string, songs: readonly FoundSong[], flags: ImportFlags): number {
  if (flags.list) {
    for (const { number, title } of songs) print(`${String(number ?? 1).padStart(5)}  ${safeText(title)}`);
    return exit.done;
  }
  if (flags.tune !== undefined) {
    const song = songs.find(({ number }) => (number ?? 1) === flags.tune);
    if (song) return printSong(file, song, flags);
    throw new Stop(
      exit.call,
      `${safeText(file)} has no tune ${flags.tune}`,
      '--list shows the tunes in the file',
    );
  }
  const [only] = songs;
  if (songs.length === 1 && only) return printSong(file, only, flags);
  throw new Stop(
    exit.call,
    songs.length === 0 ? `${safeText(file)} has no tune` : `${safeText(file)} has ${songs.length} tunes`,
    '--tune N imports one of them, --list shows them, --all FOLDER imports all of them',
  );
}

/** Prints a song as a chart; what was left out or read differently goes to stderr. */
function printSong(file: string, song: FoundSong, flags: ImportFlags): number {
  const read = wordsOf(song.read(), flags);
  if (!read.ok) throw new Stop(exit.input, safeText(faultSentence(file, read.fault)));
  const { sheet, remarks: left, chords, notes } = read.value;
  const { chart, remarks } = chartFromSheet(withFlags(sheet, flags));
  tellRemarks(file, [...left, ...remarks]);
  if (chords === 0 && notes === 0)
    throw new Stop(
      exit.input,
      `${safeText(sheet.title)} has no chords`,
      'a chart needs chord symbols or a melody, and this has neither',
    );
  if (chords === 0) say(`${safeText(sheet.title)} ${withoutChords}`);
  return printChart(file, writtenChart(chart));
}

/**
 * Words that are sung are left out unless they are wanted: how to keep them is said where there are any, and where they are
 * wanted but stand only with another voice or part than the chords, that they cannot be kept.
 */
function aboutWords(remark: Remark, { words }: ImportFlags, kept: boolean): readonly Remark[] {
  if (remark.message !== `left out: ${sungLeftOut}`) return [remark];
  if (words && !kept)
    return [
      {
        ...remark,
        message: `${remark.message}; they belong to another voice or part than the chords, so --words cannot keep them; move them to the voice with the chords`,
      },
    ];
  return words ? [] : [{ ...remark, message: `${remark.message}; --words keeps them` }];
}

/** A song with the words that are wanted of it, and what is said of the others. */
function wordsOf<Fault>(read: Outcome<SheetRead, Fault>, flags: ImportFlags): Outcome<SheetRead, Fault> {
  if (!read.ok) return read;
  const kept = flags.melody === false ? withoutMelody(read.value) : read.value;
  const { sheet, remarks } = kept;
  const bars = flags.words ? withSungWords(sheet.bars) : sheet.bars;
  const hasWords = sheet.bars.some(({ sung }) => sung !== undefined);
  const told = remarks.flatMap((remark) => aboutWords(remark, flags, hasWords));
  return { ok: true, value: { ...kept, sheet: { ...sheet, bars }, remarks: told } };
}

/** A key, tempo and title that are given go before those of the file. */
function withFlags(read: LeadSheet, flags: ImportFlags): LeadSheet {
  if (flags.meter !== undefined || flags.skipWords || flags.keepWords)
    throw new Stop(
      exit.call,
      '--meter, --skip-words and --keep-words are for sheets of letters; this file has its own meter, and --words keeps the lyrics',
    );
  const sheet = flags.key === undefined ? read : inKey(read, keyFlag(flags.key));
  const tempo = flags.tempo === undefined ? null : parseTempo(flags.tempo);
  if (tempo && !tempo.ok) throw new Stop(exit.call, `--tempo ${tempo.fault.message}`);
  return { ...sheet, title: flags.title ?? sheet.title, tempo: tempo?.ok ? tempo.value : sheet.tempo };
}

/** A sheet whose numbers count from a key that is given: chords stay, and what is told of its first key is that one. */
function inKey(sheet: LeadSheet, key: Key): LeadSheet {
  const bars = sheet.bars.map((bar) => (bar.key && sameKey(bar.key, sheet.key) ? { ...bar, key } : bar));
  return { ...sheet, key, bars };
}
