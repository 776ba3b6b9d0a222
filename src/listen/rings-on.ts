import type { Tone, ToneReader } from './tone.js';

/** What was heard of a stroke: its tone, and its power from its attack on every `stepMs`; `floor` is the power of the room's noise. */
interface Heard {
  readonly tone: Tone;
  readonly power: Float64Array;
  readonly stepMs: number;
  readonly floor: number;
}

/** A course that rings on is looked for so long behind the attack at the earliest, ms: fingers have damped the others by then. */
const earliest = 130;
/** ... and at the latest, ms: then a course that rings freely is still heard. */
const latest = 160;
/** It is read from so much sound, seconds. */
const read = 0.06;
/** One pitch explains so much of what is left ... */
const alone = 0.8;
/** ... and no more than so much of the stroke, which was of several courses. */
const together = 0.8;
/** It is so far below the stroke at most, and so far above the noise at least, dB. */
const lowest = -20;
const aboveNoise = 6;

/** The MIDI note of a course that still sounds when the rest of a stroke of several courses was damped; null when none does. */
export function ringingOn(
  tones: ToneReader,
  sound: Float32Array,
  at: number,
  rate: number,
  { tone, power, stepMs, floor }: Heard,
): number | null {
  const lengthMs = power.length * stepMs;
  if (tone.single > together || lengthMs < earliest + 1000 * read) return null;
  const startMs = Math.min(lengthMs - 1000 * read, latest);
  const mean = (from: number, to: number): number => {
    const part = power.subarray(from / stepMs, to / stepMs);
    return Math.max(0, part.reduce((sum, value) => sum + value, 0) / part.length - floor);
  };
  const late = mean(startMs, startMs + 1000 * read);
  const below = 10 * Math.log10((late + 1e-15) / (mean(0, 40) + 1e-15));
  if (below < lowest || late < floor * 10 ** (aboveNoise / 10)) return null;
  const rest = tones.read(sound, at + Math.round((startMs / 1000) * rate), Math.round(read * rate), 0);
  if (rest.single < alone || rest.second > 0.35) return null;
  return Math.round(69 + 12 * Math.log2(rest.strongest / 440));
}
