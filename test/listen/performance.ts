import { seeded } from './seeded.js';
import type { Stroke } from './rendered.js';

export const shapes: Record<string, readonly number[]> = {
  G: [62, 67, 71, 79], C: [64, 67, 72, 79].map((n) => n), D: [57, 66, 69, 74], A: [61, 64, 69, 76], Em: [59, 64, 67, 76], B7: [63, 69, 71, 78],
};

export interface Played extends Stroke { readonly kind: 'low' | 'chop' | 'up'; readonly beat: number; readonly chord: string }

/** Low note on odd beats, chop on even ones, jitter normal. */
export function performance(options: { bpm: number; bars: number; jitter: number; seed: number; chords?: readonly string[]; lead?: number; ups?: boolean; offset?: number }): Played[] {
  const { bpm, bars, jitter, seed, chords = ['G', 'C', 'G', 'D'], lead = 0, ups = false, offset = 1000 } = options;
  const random = seeded(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const beat = 60_000 / bpm;
  const out: Played[] = [];
  for (let bar = 0; bar < bars; bar += 1) {
    const chord = chords[bar % chords.length] as string;
    const notes = shapes[chord] as readonly number[];
    for (let b = 0; b < 4; b += 1) {
      const at = offset + (bar * 4 + b) * beat - lead + jitter * normal();
      const low = b % 2 === 0;
      out.push(low ? { at, notes: [notes[0] as number], velocity: 75 + Math.floor(40 * random()), length: Math.min(0.7 * beat, 350), kind: 'low', beat: bar * 4 + b, chord }
        : { at, notes, velocity: 75 + Math.floor(45 * random()), length: 55, spread: 3 + 4 * random(), kind: 'chop', beat: bar * 4 + b, chord });
      if (ups && b % 2 === 1) out.push({ at: at + beat / 2, notes: notes.slice(-2), velocity: 60 + Math.floor(20 * random()), length: 50, spread: 2, up: true, kind: 'up', beat: bar * 4 + b + 0.5, chord });
    }
  }
  return out;
}
