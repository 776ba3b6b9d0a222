import { randomBytes } from 'node:crypto';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import * as v from 'valibot';
import { folders } from './folders.js';
import { type StateFile, stateFile } from './state-file.js';

const chord = v.object({
  degree: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(7)),
  alter: v.picklist([-1, 0, 1]),
  minor: v.boolean(),
  seventh: v.boolean(),
});
const bar = v.nullable(
  v.object({ chords: v.pipe(v.array(chord), v.minLength(1), v.maxLength(8), v.readonly()) }),
);
const whole = v.pipe(v.number(), v.integer(), v.minValue(0));
const schema = v.object({
  /** When it was written last, ms since 1970. */
  at: v.pipe(v.number(), v.finite()),
  /** Key, tempo and meter as a chart has them. */
  key: v.string(),
  tempo: v.string(),
  meter: v.string(),
  transcript: v.object({
    bars: v.pipe(v.array(bar), v.maxLength(10_000), v.readonly()),
    split: v.boolean(),
    last: v.nullable(whole),
  }),
});

/** A chart that was being written down, as far as it had come. */
export type KeptTranscript = Readonly<v.InferOutput<typeof schema>>;

const names = /^[0-9a-f]{16}$/;

/** A name for a chart that begins to be written down. */
export function newTranscriptName(): string {
  return randomBytes(8).toString('hex');
}

/** Keeps what was written down so far; a sentence where it cannot be kept. */
export function keepTranscript(
  name: string,
  transcript: KeptTranscript,
  folder: string = folders.state,
): string | null {
  return fileOf(name, folder).write(transcript);
}

/** What was written down is in a chart of its own now, or is not wanted. */
export function forgetTranscript(name: string, folder: string = folders.state): void {
  fileOf(name, folder).remove();
}

/** What was written down under a name; `null` where nothing usable is kept. */
export function recallTranscript(name: string, folder: string = folders.state): KeptTranscript | null {
  return names.test(name) ? fileOf(name, folder).read() : null;
}

/** All that was being written down and has no name yet, the latest first. */
export function allTranscripts(
  folder: string = folders.state,
): readonly { readonly name: string; readonly transcript: KeptTranscript }[] {
  return namesIn(join(folder, 'transcripts'))
    .flatMap((name) => {
      const transcript = recallTranscript(name, folder);
      return transcript ? [{ name, transcript }] : [];
    })
    .sort((one, other) => other.transcript.at - one.transcript.at);
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder).map((name) => name.replace(/\.json$/, ''));
  } catch {
    return [];
  }
}

function fileOf(name: string, folder: string): StateFile<KeptTranscript> {
  return stateFile(join(folder, 'transcripts', `${name}.json`), schema);
}
