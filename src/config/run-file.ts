import { join } from 'node:path';
import * as v from 'valibot';
import { folders } from './folders.js';
import { keptName, realPath } from './real-path.js';
import { type StateFile, stateFile } from './state-file.js';

const place = v.pipe(v.number(), v.integer(), v.minValue(0));
const song = v.object({
  file: v.string(),
  /** Its place in the set's file, from 0; `null`: it was asked for. */
  entry: v.nullable(place),
  key: v.string(),
});
const schema = v.pipe(
  v.object({
    /** The set's file, for people who look. */
    file: v.string(),
    /** More songs than this are no evening. */
    songs: v.pipe(v.array(song), v.maxLength(2000)),
    /** The song that was shown or played last, from 0. */
    at: place,
  }),
  v.check(({ songs, at }) => at < songs.length),
);

/** A song of a run that is kept. */
export type KeptRunSong = Readonly<v.InferOutput<typeof song>>;

/** Where a run is, should it be broken off: its songs as written, and which one it is at. */
export interface KeptRun {
  readonly songs: readonly KeptRunSong[];
  readonly at: number;
}

/** Keeps where the run of a set is; answers a sentence where it cannot be kept. */
export function keepRun(file: string, run: KeptRun, folder: string = folders.state): string | null {
  return fileOf(file, folder).write({ file: realPath(file), songs: [...run.songs], at: run.at });
}

/** Nothing is kept of a set's run any more: it came to its end, or nobody wants to take it up again. */
export function forgetRun(file: string, folder: string = folders.state): void {
  fileOf(file, folder).remove();
}

/** The run of a set that was broken off; `null` when none was, or when what is kept cannot be used. */
export function recallRun(file: string, folder: string = folders.state): KeptRun | null {
  const kept = fileOf(file, folder).read();
  return kept && { songs: kept.songs, at: kept.at };
}

/** One file a set, named for its real path: what is kept of one evening does not end another. */
function fileOf(file: string, folder: string): StateFile<v.InferOutput<typeof schema>> {
  return stateFile(join(folder, 'runs', `${keptName(file)}.json`), schema);
}
