import { readFileSync } from 'node:fs';
import { safeText } from '../base/safe-text.js';
import { type Book, orderLine, sheetOfSong } from '../exchange/book.js';
import type { BookWishes, BookWriter, Format } from '../exchange/format.js';
import type { Song } from '../exchange/song.js';
import { type NeckSight, neckSight } from '../hand/neck-sight.js';
import { clockText, songSeconds } from '../setlist/running-order.js';
import type { SetList } from '../setlist/set.js';
import { exit, say } from './exit.js';
import { exportPath, sendOut, tryWrite } from './export-out.js';
import type { ExportOf, NamedSong } from './export-song.js';

/** Progress is reported when it takes longer than this, ms. */
const patience = 1000;

/** Writes all songs as one document; of a set with its running order first. Text goes to stdout unless a file is named. */
export async function exportBook(
  songs: readonly NamedSong[],
  base: string,
  { format, write }: { readonly format: Format; readonly write: BookWriter },
  { flags, settings }: ExportOf,
  set: Pick<SetList, 'title' | 'date'> | null,
): Promise<number> {
  const seen = neckSight(settings.neck, settings.hand);
  const sight = { ...seen, mirrored: flags.leftHanded ?? seen.mirrored };
  const content = await write(bookOf(songs, set, sight, flags.tune !== undefined), {
    paper: flags.paper ?? 'a4',
    large: flags.large ?? false,
    leftHanded: sight.mirrored,
    blank: flags.blank ?? null,
    marks: flags.marks ?? false,
    fonts: readFonts,
  });
  if (flags.output === '-' || (typeof content === 'string' && flags.output === undefined)) {
    sendOut(content, format);
    return exit.done;
  }
  const path = exportPath(flags.output, base, format, false);
  const refused = tryWrite(path, content, flags.force ?? false);
  if (refused) throw refused;
  say(safeText(path));
  return exit.done;
}

function bookOf(
  songs: readonly NamedSong[],
  set: Pick<SetList, 'title' | 'date'> | null,
  sight: NeckSight,
  tune: boolean,
): Book {
  let said = Date.now();
  const printed = songs.map(({ song }, index) => {
    if (Date.now() - said > patience) {
      said = Date.now();
      say(`${index} of ${songs.length}`);
    }
    return { song, sheet: sheetOfSong(song, sight, tune) };
  });
  return {
    sheets: printed.map(({ sheet }) => sheet),
    order: set && {
      title: set.title,
      date: set.date,
      lines: printed.map(({ song, sheet }) => orderLine(song, sheet, lengthOf(song))),
    },
  };
}

/** How long a song is played, as minutes and seconds. */
function lengthOf({ setup: { chart, key, bpm, passes, countIn } }: Song): string {
  return clockText(songSeconds(chart, { key, bpm, share: bpm / chart.tempo.bpm, passes, countIn }));
}

/** The font that is put into the file: it has the musician's signs, and may be redistributed. The build puts it there. */
function readFonts(): ReturnType<BookWishes['fonts']> {
  const read = (name: string): Uint8Array =>
    readFileSync(new URL(`../../dist/fonts/${name}.ttf`, import.meta.url));
  return { regular: read('DejaVuSans'), bold: read('DejaVuSans-Bold') };
}
