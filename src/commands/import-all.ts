import { readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
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
import { faultSentence, openForImport } from './import-file.js';

/** One of many songs to be brought in, of its file. */
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
 * @param number the file's place among those that are brought in: the number of songs that have none of their own
 */
export async function sourcesOf(file: string, number: number): Promise<readonly Source[]> {
  try {
    const { bytes, format } = openForImport(file);
    if (format.reader.kind === 'letters') return [];
    const songs = (await format.reader.load())(bytes);
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

/** Files of a folder that songs can be brought in from, by name. */
export function filesToImport(folder: string): string[] {
  return namesIn(folder)
    .filter(mayHoldSongs)
    .sort((one, other) => one.localeCompare(other, 'en', { numeric: true }))
    .map((name) => join(folder, name));
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch (error) {
    const why = (error as NodeJS.ErrnoException).code ?? 'unknown reason';
    throw new Stop(exit.call, `${safeText(folder)} cannot be read (${why})`, 'name another folder');
  }
}

/** Every song that has chords, each into a file of its own: `NUMBER-title.yaml`, which no other of them has. */
export function importAll(sources: readonly Source[], into: string, force: boolean): number {
  if (sources.length === 0)
    throw new Stop(
      exit.call,
      'there is nothing to bring in',
      'name an ABC file, or a folder with ABC or MusicXML files',
    );
  const folder = resolve(into);
  const names = new Set<string>();
  let written = 0;
  let without = 0;
  let failed = 0;
  let status: number = exit.done;
  let lastSaid = Date.now();
  sources.forEach((source, index) => {
    const answer = bringIn(source, folder, names, force);
    if (answer === 'written') written += 1;
    else if (answer === 'no chords') without += 1;
    else {
      failed += 1;
      // What the machine cannot do is said before what the call has wrong.
      status = Math.max(status, answer);
    }
    // Whoever waits longer than a second wants to know how far it is.
    if (Date.now() - lastSaid > 1000) {
      lastSaid = Date.now();
      say(`${index + 1} of ${sources.length}`);
    }
  });
  say(
    `${written} charts written to ${safeText(folder)}; ${without} songs without chords${failed > 0 ? `; ${failed} not written` : ''}`,
  );
  return status;
}

function bringIn(
  { file, line, number, title, read }: Source,
  folder: string,
  names: Set<string>,
  force: boolean,
): 'written' | 'no chords' | number {
  const song = read();
  if (!song.ok) {
    say(safeText(song.fault));
    return exit.call;
  }
  const { sheet, remarks: left, chords } = song.value;
  const called = title === '' ? sheet.title : title;
  if (chords === 0) {
    say(`${safeText(file)}:${line}: song ${number}, ${safeText(called)}, has no chords; it is left out`);
    return 'no chords';
  }
  const { chart, remarks } = chartFromSheet(sheet);
  // Of many songs only that is told which somebody must look at.
  for (const { place, message } of [...left, ...remarks].filter(isUnread))
    say(`${safeText(file)}:${place.line}:${place.column}: ${safeText(message)}`);
  const made = writtenChart(chart);
  if (!made.ok) {
    say(`${file}:${line}: song ${number}, ${called}: ${made.fault.message}`);
    return exit.input;
  }
  const path = join(folder, freeName(`${number}-${fileNameOf(called)}`, names));
  const refusal = writeOut(path, made.value, force);
  if (refusal) say(refusal.reason);
  return refusal ? unwrittenStatus(refusal.blame) : 'written';
}

/** A chord that could not be read. */
function isUnread({ message }: Remark): boolean {
  return message.includes('is no chord that is known');
}

/** A file name that none of the songs before has. */
function freeName(wanted: string, names: Set<string>): string {
  let name = `${wanted}.yaml`;
  for (let count = 2; names.has(name); count += 1) name = `${wanted}-${count}.yaml`;
  names.add(name);
  return name;
}
