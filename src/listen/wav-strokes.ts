import { ConditionMeter, type Hearing } from './condition.js';
import type { OwnSounds } from './own-sounds.js';
import { type HeardStroke, StrokeHearer } from './strokes.js';
import type { Wav } from './wav.js';

/** What was heard in a recording from its beginning to its end. */
export interface HeardWav {
  readonly strokes: readonly HeardStroke[];
  /** The greatest sample of all, dB below full scale; −120 for silence. */
  readonly peak: number;
  /** The share of the recording's tenths of a second, 0–1, in which the microphone was overloaded, or the room as loud as the music. */
  readonly clipping: number;
  readonly noisy: number;
}

/** A recording is listened to in pieces of this length, seconds. */
const piece = 0.1;

/** Listens to a recording piece by piece, as if live; `own` are sounds of the program that it has beside. Each step answers how much of it has been heard, 0–1; the last one what was. */
export function* hearWav(wav: Wav, own?: OwnSounds): Generator<number, HeardWav> {
  const { rate, frames } = wav.head;
  const hearer = new StrokeHearer(rate, own ? { own } : {});
  const meter = new ConditionMeter(rate);
  const strokes: HeardStroke[] = [];
  const count = Math.round(piece * rate);
  let peak = -120;
  let pieces = 0;
  const times = { clipping: 0, noisy: 0 };
  for (let from = 0; from < frames; from += count) {
    const samples = wav.samples(from, count);
    if (samples.length === 0) break;
    const hearing: Hearing = meter.push(samples);
    peak = Math.max(peak, hearing.peak);
    pieces += 1;
    if (hearing.condition === 'clipping' || hearing.condition === 'noisy') times[hearing.condition] += 1;
    strokes.push(...hearer.push(samples));
    yield Math.min(1, (from + count) / frames);
  }
  strokes.push(...hearer.end());
  const share = (number: number): number => number / Math.max(1, pieces);
  return { strokes, peak, clipping: share(times.clipping), noisy: share(times.noisy) };
}
