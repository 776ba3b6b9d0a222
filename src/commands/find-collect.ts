import { statSync } from 'node:fs';
import { safeText } from '../base/safe-text.js';
import type { Sortable, Weakness } from '../chart/find/sort-songs.js';
import { playedTimes } from '../config/choices.js';
import { chartFiles, subfolders } from '../config/files.js';
import { folders } from '../config/folders.js';
import { exit, Stop } from './exit.js';
import { SongFiles } from './song-files.js';

/** A chart that can be found. */
export interface FoundSong extends Sortable {
  readonly file: string;
  readonly facts: NonNullable<Sortable['facts']>;
}

/** How deep folders within a folder are looked through. */
const deepest = 8;

/**
 * The charts of a folder and of those in it, or else the player's own and the demo charts; how many files could not be read.
 *
 * @param weak how weak songs are, by title
 */
export function collectSongs(
  folder: string | undefined,
  weak: ReadonlyMap<string, Weakness>,
): { readonly songs: readonly FoundSong[]; readonly faulty: number } {
  if (folder !== undefined && !isFolder(folder))
    throw new Stop(
      exit.call,
      `${safeText(folder)} is not a folder`,
      'name one that charts are in: --in FOLDER',
    );
  const files = [
    ...new Set(
      (folder === undefined ? [folders.charts, folders.demo] : [folder]).flatMap((one) => filesIn(one, 0)),
    ),
  ];
  const known = new SongFiles();
  const look = { colour: false, unicode: false };
  const times = playedTimes(files);
  let faulty = 0;
  const songs = files.flatMap((file): FoundSong[] => {
    const { facts, kind } = known.known(file, look) ?? known.read(file, look);
    if (kind === 'faulty') faulty += 1;
    if (!facts) return [];
    const { title } = facts;
    return [{ file, title, facts, played: times.get(file) ?? 0, weak: weak.get(title) ?? null }];
  });
  known.keep();
  return { songs, faulty };
}

function filesIn(folder: string, depth: number): readonly string[] {
  const inner = depth < deepest ? subfolders(folder).flatMap((one) => filesIn(one, depth + 1)) : [];
  return [...chartFiles(folder), ...inner];
}

function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}
