import { statSync } from 'node:fs';
import { basename, join } from 'node:path';
import * as v from 'valibot';
import type { SongFacts } from '../chart/find/song-facts.js';
import { folders } from './folders.js';
import { keptName } from './real-path.js';
import { type StateFile, stateFile } from './state-file.js';

/** To be raised when songs are read differently: what was kept is then read again. */
const version = 1;

/** The most bytes that are kept of a folder: some fifty thousand songs. */
const mostBytes = 1 << 24;

const text = v.string();
const whole = v.pipe(v.number(), v.integer());
const facts = v.object({
  title: text,
  by: v.nullable(text),
  key: v.object({
    tonic: v.pipe(text, v.regex(/^[A-G][b#]?$/)),
    mode: v.picklist(['major', 'minor']),
  }),
  tempo: v.object({ bpm: v.pipe(v.number(), v.finite()), count: v.picklist(['quarter', 'half', 'dotted']) }),
  meter: v.object({ beats: whole, unit: v.picklist([2, 4, 8]) }),
  tags: v.array(text),
  runs: v.array(text),
});

/** A song as it is kept: a stamp that shows whether its file is still the same, and what was read from it. */
const song = v.object({ stamp: text, facts });
const schema = v.object({ version: v.literal(version), songs: v.record(text, v.unknown()) });

/** What is known of the songs of a folder from earlier starts, so that a list need not read every chart again. */
export class SongsFile {
  private readonly kept: StateFile<v.InferOutput<typeof schema>>;
  private readonly songs: Map<string, unknown>;
  private changed = false;

  constructor(
    private readonly of: string,
    folder: string = folders.state,
  ) {
    this.kept = stateFile(join(folder, 'songs', `${keptName(of)}.json`), schema, { flush: false, mostBytes });
    this.songs = new Map(Object.entries(this.kept.read()?.songs ?? {}));
  }

  /** What was read of a file of the folder, if the file is the same still; `null` where it is to be read. */
  known(file: string): SongFacts | null {
    const kept = this.songs.get(basename(file));
    if (kept === undefined) return null;
    const read = v.safeParse(song, kept);
    return read.success && read.output.stamp === stampOf(file) ? read.output.facts : null;
  }

  /** Takes in what was read from a file; `null` if it is not a song. */
  learn(file: string, found: SongFacts | null): void {
    const stamp = stampOf(file);
    this.changed = this.changed || found !== null || this.songs.has(basename(file));
    if (found === null || stamp === null) this.songs.delete(basename(file));
    else this.songs.set(basename(file), { stamp, facts: found });
  }

  /** Keeps what is known, without files that are not there any more. Failure does not matter: they are read again. */
  keep(there: ReadonlySet<string>): void {
    for (const name of this.songs.keys())
      if (!there.has(join(this.of, name))) {
        this.songs.delete(name);
        this.changed = true;
      }
    if (this.changed) this.kept.write({ version, songs: Object.fromEntries(this.songs) });
    this.changed = false;
  }
}

/** When a file was changed last, and how long it is; `null` where it is not there. */
function stampOf(file: string): string | null {
  try {
    const { mtimeMs, ctimeMs, size } = statSync(file);
    return `${mtimeMs} ${ctimeMs} ${size}`;
  } catch {
    return null;
  }
}
