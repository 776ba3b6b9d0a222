import { readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileNameOf } from '../base/file-name.js';
import { safeText } from '../base/safe-text.js';
import { writeOut } from '../config/write-out.js';
import type { LeadSheet, Remark } from '../exchange/lead-sheet.js';
import { chartFromSheet } from '../exchange/sheet-to-chart.js';
import { writtenChart } from '../exchange/written-chart.js';
import { exit, Stop, say, unwrittenStatus } from './exit.js';

/** A song as it was read from a file in another format. */
export interface ReadSong {
  readonly sheet: LeadSheet;
  readonly remarks: readonly Remark[];
  readonly chords: number;
}

/** One of many songs to be brought in: where it stands, what it is called, and how it is read; a sentence where it cannot be. */
export interface Source {
  readonly file: string;
  readonly line: number;
  readonly number: number;
  readonly title: string;
  readonly read: () => ReadSong | string;
}

/** Files of a folder that songs can be brought in from, by name. */
export function filesToImport(folder: string): string[] {
  return namesIn(folder)
    .filter((name) => /\.(?:abc|musicxml|mxl|xml)$/i.test(name))
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
  let told = Date.now();
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
    if (Date.now() - told > 1000) {
      told = Date.now();
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
  if (typeof song === 'string') {
    say(safeText(song));
    return exit.call;
  }
  const called = title === '' ? song.sheet.title : title;
  if (song.chords === 0) {
    say(`${safeText(file)}:${line}: song ${number}, ${safeText(called)}, has no chords; it is left out`);
    return 'no chords';
  }
  const { chart, remarks } = chartFromSheet(song.sheet);
  // Of many songs only that is told which somebody must look at.
  for (const { place, message } of [...song.remarks, ...remarks].filter(isUnread))
    say(`${safeText(file)}:${place.line}:${place.column}: ${safeText(message)}`);
  const made = writtenChart(chart);
  if ('reason' in made) {
    say(`${file}:${line}: song ${number}, ${called}: ${made.reason}`);
    return exit.input;
  }
  const path = join(folder, freeName(`${number}-${fileNameOf(called)}`, names));
  const refusal = writeOut(path, made.text, force);
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
