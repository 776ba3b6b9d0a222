import { readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { byName } from '../base/by-name.js';
import { fileNameOf } from '../base/file-name.js';
import type { Outcome } from '../base/outcome.js';
import { safeText } from '../base/safe-text.js';
import { writeOut } from '../config/write-out.js';
import type { FoundSong } from '../exchange/format.js';
import { mayHoldSongs } from '../exchange/formats.js';
import type { Remark, SheetRead } from '../exchange/lead-sheet.js';
import { chartFromSheet } from '../exchange/sheet-to-chart.js';
import { writtenChart } from '../exchange/written-chart.js';
import { exit, Stop, say, unwrittenStatus } from './exit.js';
import { faultSentence, isFolder, openForImport, withoutChords } from './import-file.js';

/** One of many songs to be imported, of its file. */
interface Source extends Omit<FoundSong, 'read'> {
  readonly file: string;
  readonly number: number;
  /** Its lead sheet, or a sentence that says with its place why there is none. */
  readonly read: () => Outcome<SheetRead, string>;
}

/**
 * The songs of a file, whichever format it has; of one that cannot be opened, one that says why. A sheet of letters has none: it
 * would have to be told its key.
 *
 * @param number the file's place among those that are imported: the number of songs that have none of their own
 */
async function sourcesOf(file: string, number: number): Promise<readonly Source[]> {
  try {
    const { bytes, format } = openForImport(file);
    if (bytes.length === 0) {
      say(`${safeText(file)} is empty; there is no song in it`);
      return [];
    }
    if (format.reader.kind === 'letters') {
      say(
        `${safeText(file)} is read as a sheet of letters, which does not name its key; import it by itself: barkline import FILE --key A`,
      );
      return [];
    }
    const songs = (await format.reader.load())(bytes);
    if (songs.length === 0) say(`${safeText(file)} has no tune`);
    return songs.map((song) => ({
      ...song,
      file,
      number: song.number ?? number,
      read: () => {
        const read = song.read();
        return read.ok ? read : { ok: false, fault: faultSentence(file, read.fault) };
      },
    }));
  } catch (error) {
    if (!(error instanceof Stop)) throw error;
    return [{ file, line: 1, number, title: '', read: () => ({ ok: false, fault: error.what }) }];
  }
}

/** Files of a folder that songs can be imported from, by name; of what else lies there it is told that it is ignored. */
export function filesToImport(folder: string): string[] {
  const names = namesIn(folder);
  const folders = names.filter((name) => isFolder(join(folder, name)));
  const inFolder = new Set(names);
  for (const name of folders) inFolder.delete(name);
  const files = [...inFolder].filter(mayHoldSongs);
  const letters = [...inFolder].filter((name) => /\.txt$/i.test(name));
  const others = [...inFolder].filter((name) => !mayHoldSongs(name) && !/\.txt$/i.test(name));
  tellPassed(
    folder,
    folders,
    ['folder', 'folders'],
    'import each one by itself; --all reads a single folder',
  );
  tellPassed(
    folder,
    letters,
    ['file that may be a sheet of letters', 'files that may be sheets of letters'],
    'such a sheet does not name its key; import each one by itself: barkline import SHEET.txt --key A',
  );
  tellPassed(
    folder,
    others,
    ['entry that is not an ABC or MusicXML file', 'entries that are not ABC or MusicXML files'],
    null,
  );
  return files.sort(byName).map((name) => join(folder, name));
}

/** The most names of what is passed over that are reported. */
const mostNamed = 5;

function tellPassed(
  folder: string,
  names: readonly string[],
  [one, several]: readonly [string, string],
  advice: string | null,
): void {
  if (names.length === 0) return;
  const what = names.length === 1 ? `1 ${one} is` : `${names.length} ${several} are`;
  const shown = `${names.slice(0, mostNamed).join(', ')}${names.length > mostNamed ? ' …' : ''}`;
  say(`${safeText(folder)}: ${what} ignored: ${safeText(shown)}${advice === null ? '' : `; ${advice}`}`);
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch (error) {
    const why = (error as NodeJS.ErrnoException).code ?? 'unknown reason';
    throw new Stop(exit.call, `${safeText(folder)} cannot be read (${why})`, 'name another folder');
  }
}

/** The results for the songs of a folder so far. */
interface Tally {
  written: number;
  without: number;
  failed: number;
  status: number;
  /** What was left out or read differently, how many songs had it, and where the first is. */
  readonly left: Map<string, { songs: number; readonly first: string }>;
}

/** How the songs of files are imported. */
interface ImportAllOptions {
  /** Whether files that are there are written over. */
  readonly force: boolean;
  /** What is wanted of a song that was read. */
  readonly wanted: (read: Outcome<SheetRead, string>) => Outcome<SheetRead, string>;
}

/**
 * Every song that has chords, of these files, each into a file of its own: `NUMBER-title.yaml`, which no other of them has.
 * A file is opened when its turn has come.
 */
export async function importAll(
  files: readonly string[],
  into: string,
  { force, wanted }: ImportAllOptions,
): Promise<number> {
  const folder = resolve(into);
  const names = new Set<string>();
  const tally: Tally = { written: 0, without: 0, failed: 0, status: exit.done, left: new Map() };
  let songs = 0;
  let lastSaid = Date.now();
  for (const [index, file] of files.entries()) {
    const sources = await sourcesOf(file, index + 1);
    songs += sources.length;
    for (const [place, source] of sources.entries()) {
      const answer = bringIn(
        { ...source, read: () => wanted(source.read()) },
        { folder, names, force },
        tally,
      );
      if (answer === 'written') tally.written += 1;
      else if (answer === 'no chords') tally.without += 1;
      else {
        tally.failed += 1;
        // A failure of the machine counts for more than a mistake of the command line.
        tally.status = Math.max(tally.status, answer);
      }
      // Anybody who waits longer than a second wants to know how far it is.
      if (Date.now() - lastSaid > 1000) {
        lastSaid = Date.now();
        const ofFile = `${place + 1} of ${sources.length}`;
        say(
          files.length === 1
            ? ofFile
            : `file ${index + 1} of ${files.length}${sources.length > 1 ? `: ${ofFile}` : ''}`,
        );
      }
    }
  }
  if (songs === 0)
    throw new Stop(
      exit.call,
      'there is nothing to import',
      'name an ABC file, or a folder with ABC or MusicXML files',
    );
  tellLeft(tally);
  const { written, without, failed } = tally;
  say(
    `${count(written, 'chart')} written to ${safeText(folder)}; ${count(without, 'song')} without chords${failed > 0 ? `; ${failed} not written` : ''}`,
  );
  return tally.status;
}

function count(number: number, what: string): string {
  return number === 1 ? `1 ${what}` : `${number} ${what}s`;
}

/** The most kinds of what was left out that are reported. */
const mostKinds = 20;

/** What was left out or read differently, by its kind: with many songs, nobody reads each line. */
function tellLeft({ left }: Tally): void {
  const kinds = [...left].sort(([, one], [, other]) => other.songs - one.songs);
  if (kinds.length === 0) return;
  say('left out or changed (without --all, each place is reported):');
  for (const [message, { songs, first }] of kinds.slice(0, mostKinds))
    say(`${count(songs, 'song')}, first ${safeText(first)}: ${safeText(message)}`);
  if (kinds.length > mostKinds) say(`and ${kinds.length - mostKinds} more kinds`);
}

function bringIn(
  { file, line, number, title, read }: Source,
  { folder, names, force }: { folder: string; names: Set<string>; force: boolean },
  tally: Tally,
): 'written' | 'no chords' | number {
  const song = read();
  if (!song.ok) {
    say(safeText(song.fault));
    return exit.call;
  }
  const { sheet, remarks: left, chords, notes } = song.value;
  const called = title === '' ? sheet.title : title;
  if (chords === 0 && notes === 0) {
    say(`${safeText(file)}:${line}: song ${number}, ${safeText(called)}, has no chords; it is left out`);
    return 'no chords';
  }
  const { chart, remarks } = chartFromSheet(sheet);
  // Of many songs only that is reported one by one which somebody must look at.
  const melodyOnly = chords === 0 ? [{ place: { line, column: 1 }, message: `it ${withoutChords}` }] : [];
  const all = [...melodyOnly, ...left, ...remarks];
  for (const { place, message } of all.filter(isUnread))
    say(`${safeText(file)}:${place.line}:${place.column}: ${safeText(message)}`);
  const kinds = new Map(
    all
      .filter((remark) => !isUnread(remark))
      .map(({ place, message }) => [kindOf(message), `${file}:${place.line}`]),
  );
  for (const [kind, first] of kinds) {
    const told = tally.left.get(kind);
    if (told) told.songs += 1;
    else tally.left.set(kind, { songs: 1, first });
  }
  const made = writtenChart(chart);
  if (!made.ok) {
    say(`${file}:${line}: song ${number}, ${called}: ${made.fault.message}`);
    return exit.input;
  }
  const path = join(folder, freeName(`${number}-${fileNameOf(called)}`, names));
  const refusal = writeOut(path, made.value, force, false);
  if (refusal) say(refusal.reason);
  return refusal ? unwrittenStatus(refusal.blame) : 'written';
}

/** A chord that could not be read. */
function isUnread({ message }: Remark): boolean {
  return message.includes('is not a known chord');
}

/** A remark without the figures that differ from song to song. */
function kindOf(message: string): string {
  return message.replace(/^the melody is left out.*/, 'the melody is left out');
}

/** A file name that none of the songs before has. */
function freeName(wanted: string, names: Set<string>): string {
  let name = `${wanted}.yaml`;
  for (let count = 2; names.has(name); count += 1) name = `${wanted}-${count}.yaml`;
  names.add(name);
  return name;
}
