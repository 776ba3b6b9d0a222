import { mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { folders } from './folders.js';

/** A song of a run that is kept: its file, its place in the set's file (from 0; `null`: it was asked for), its key. */
export interface KeptRunSong {
  readonly file: string;
  readonly entry: number | null;
  readonly key: string;
}

/** Where a run is, should it be broken off: the set's file, its songs as they stand, and which one it is at. */
export interface KeptRun {
  readonly file: string;
  readonly songs: readonly KeptRunSong[];
  readonly at: number;
}

/** More songs than this are no evening. */
const mostSongs = 2000;

/** Keeps where a run is, by writing aside and renaming; `null`: it came to its end. Failure is no matter: only comfort is lost. */
export function keepRun(run: KeptRun | null, folder: string = folders.state): void {
  const path = join(folder, 'run.json');
  try {
    if (!run) {
      rmSync(path, { force: true });
      return;
    }
    mkdirSync(folder, { recursive: true });
    const aside = `${path}.${process.pid}`;
    writeFileSync(aside, JSON.stringify(run));
    renameSync(aside, path);
  } catch {
    // A read-only or full disk: a run that is broken off begins anew.
  }
}

/** The run that was broken off last; `null` when none was, or when what is kept cannot be used. */
export function recallRun(folder: string = folders.state): KeptRun | null {
  try {
    const read: unknown = JSON.parse(readFileSync(join(folder, 'run.json'), 'utf8'));
    if (typeof read !== 'object' || read === null) return null;
    const { file, songs, at } = read as Record<string, unknown>;
    if (typeof file !== 'string' || !Array.isArray(songs) || typeof at !== 'number') return null;
    const known = songs.slice(0, mostSongs).flatMap((song): KeptRunSong[] => (isSong(song) ? [song] : []));
    const usable = known.length === songs.length && Number.isInteger(at) && at >= 0 && at < known.length;
    return usable ? { file, songs: known, at } : null;
  } catch {
    return null;
  }
}

function isSong(value: unknown): value is KeptRunSong {
  if (typeof value !== 'object' || value === null) return false;
  const { file, entry, key } = value as Record<string, unknown>;
  return (
    typeof file === 'string' &&
    typeof key === 'string' &&
    (entry === null || (Number.isInteger(entry) && (entry as number) >= 0))
  );
}
