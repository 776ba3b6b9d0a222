import { normals } from './noisy.js';
import type { Stroke } from './rendered.js';
import { seeded } from './seeded.js';

/** Notes of voicings, the low course first. */
export const shapes: Readonly<Record<string, readonly number[]>> = {
  G: [62, 67, 71, 79],
  C: [64, 67, 72, 79],
  D: [57, 66, 69, 74],
  A: [61, 64, 69, 76],
  Em: [59, 64, 67, 76],
  B7: [63, 69, 71, 78],
  F: [60, 65, 69, 77],
  Bb: [58, 62, 70, 74],
  Bm: [62, 66, 71, 78],
};

/** A stroke of a performance, and what it was meant to be. */
export interface Played extends Stroke {
  readonly kind: 'low' | 'chop' | 'up';
  readonly beat: number;
  readonly chord: string;
}

export interface Performance {
  readonly bpm: number;
  readonly bars: number;
  readonly seed: number;
  /** Standard deviation of the strokes, ms, and how far ahead of the beat they are, ms. */
  readonly jitter?: number;
  readonly lead?: number;
  /** One a bar, by turns. */
  readonly chords?: readonly string[];
  /** An upstroke after each chop. */
  readonly ups?: boolean;
  /** When the first beat is, ms. */
  readonly offset?: number;
}

/** Low note on odd beats, chop on even ones, four in a bar, as a hand plays them: unevenly in time, strength, length and spread. */
export function performance(options: Performance): Played[] {
  const {
    bpm,
    bars,
    seed,
    jitter = 12,
    lead = 0,
    chords = ['G', 'C', 'G', 'D'],
    ups = false,
    offset = 1000,
  } = options;
  const random = seeded(seed);
  const normal = normals(seed + 1);
  const beat = 60_000 / bpm;
  const played: Played[] = [];
  for (let index = 0; index < 4 * bars; index += 1) {
    const chord = chords[(index >> 2) % chords.length] as string;
    const notes = shapes[chord] as readonly number[];
    const at = offset + index * beat - lead + jitter * Math.max(-2.2, Math.min(2.2, normal()));
    const whole = { at, beat: index, chord };
    if (index % 2 === 0) {
      const length = Math.min(beat * (0.4 + 0.5 * random()), 350);
      played.push({
        ...whole,
        kind: 'low',
        notes: notes.slice(0, 1),
        velocity: 65 + Math.floor(50 * random()),
        length,
      });
      continue;
    }
    const length = [45, 55, 70, 90][Math.floor(4 * random())] as number;
    const velocity = 70 + Math.floor(50 * random());
    played.push({ ...whole, kind: 'chop', notes, velocity, length, spread: 2 + 6 * random() });
    if (ups)
      played.push({
        ...whole,
        at: at + beat / 2,
        beat: index + 0.5,
        kind: 'up',
        notes: notes.slice(-2),
        velocity: 55 + Math.floor(30 * random()),
        length: 40 + Math.floor(30 * random()),
        spread: 1.5 + 2 * random(),
        up: true,
      });
  }
  return played;
}
