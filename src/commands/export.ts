import { basename } from 'node:path';
import { fileNameOf } from '../base/file-name.js';
import { safeText } from '../base/safe-text.js';
import { formatNamed, writtenFormats } from '../exchange/formats.js';
import type { SetList } from '../setlist/set.js';
import { exit, Stop, say } from './exit.js';
import { exportBook } from './export-book.js';
import {
  type ExportFlags,
  type ExportOf,
  inKeys,
  type NamedSong,
  named,
  onTonics,
  songOf,
} from './export-song.js';
import { exportSongs } from './export-songs.js';
import { chartOf, loadGood, songPath } from './load.js';
import { type BarsFlags, givesBars, loadBars } from './load-bars.js';
import { ownPatterns } from './pattern-flag.js';
import { settingsOf } from './settings.js';

/** Writes a chart, or the songs of a set, in a format that others read. */
export async function exportFile(file: string | undefined, flags: ExportFlags & BarsFlags): Promise<number> {
  const isBars = givesBars(file, flags, 'export');
  if (flags.to === undefined)
    throw new Stop(
      exit.call,
      'the format is missing',
      `use one of ${writtenFormats.map(({ name }) => name).join(', ')}: barkline export FILE --to abc`,
    );
  const format = formatNamed(flags.to);
  const content = isBars ? ({ kind: 'chart', chart: loadBars(flags).chart } as const) : loadGood(file ?? '');
  if (content.kind !== 'chart' && content.kind !== 'set')
    throw new Stop(
      exit.call,
      `${safeText(file ?? '')} is neither a chart nor a set`,
      'name a chart or a set',
    );
  const of: ExportOf = { flags, settings: settingsOf(), patterns: ownPatterns() };
  const set = content.kind === 'set' ? content.set : null;
  const base = basename(file ?? 'bars').replace(/\.ya?ml$/i, '');
  const { songs, missing } =
    content.kind === 'set'
      ? songsOfSet(file ?? '', content.set, of)
      : { songs: named(inKeys(songOf(content.chart, null, of), flags), base), missing: 0 };
  const { writer } = format;
  const status =
    writer.kind === 'book'
      ? await exportBook(songs, base, { format, write: await writer.load() }, of, set)
      : await exportSongs(
          songs,
          { format, write: await writer.load() },
          of,
          set !== null || songs.length > 1,
        );
  return missing > 0 ? exit.input : status;
}

/** The songs of a set in their order, in the keys that are asked for, and how many cannot be read: those are reported. */
function songsOfSet(
  file: string,
  set: SetList,
  of: ExportOf,
): { readonly songs: readonly NamedSong[]; readonly missing: number } {
  let missing = 0;
  const songs = set.entries.flatMap((entry, index): readonly NamedSong[] => {
    const read = chartOf(songPath(file, set, index));
    if (!read.ok) {
      missing += 1;
      say(`song ${index + 1}, ${safeText(entry.file)}: ${read.fault.message}; it is left out`);
      return [];
    }
    const { chart } = read.value;
    const name = `${String(index + 1).padStart(2, '0')}-${fileNameOf(chart.title)}`;
    return named(onTonics(songOf(chart, entry, of), of.flags), name);
  });
  return { songs, missing };
}
