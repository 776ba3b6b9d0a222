import type { ExpectedChord, ExpectedStroke } from '../../src/listen/expected.js';
import { normals } from './noisy.js';
import type { Stroke } from './rendered.js';
import { seeded } from './seeded.js';

/** How a pass of a chart is played, with its faults. Times in ms. */
export interface TakeFaults {
  readonly seed: number;
  /** When a place of the pass (ms at the written tempo) is played, from the start of the recording. */
  readonly timeOf: (place: number) => number;
  readonly jitter?: number;
  /** Of chops and of low notes against the beat; less than 0 is ahead. */
  readonly chopMean?: number;
  readonly lowMean?: number;
  /** The chord that is played for an entry of the pass instead. */
  readonly wrong?: ReadonlyMap<number, ExpectedChord>;
  /** Entries whose first strokes, so many of them, still have the chord before. */
  readonly late?: ReadonlyMap<number, number>;
  /** Strokes, by their index, that ring on, and that are left out. */
  readonly ring?: ReadonlySet<number>;
  readonly leftOut?: ReadonlySet<number>;
}

/** A stroke as it was played, and which of the pass it is. */
export interface TakenStroke extends Stroke {
  readonly index: number;
  readonly kind: ExpectedStroke['kind'];
  readonly played: string;
}

/** A pass of a chart as a player plays it: unevenly in time, strength, length and spread, with the faults that are stated. */
export function chartTake(expected: readonly ExpectedStroke[], faults: TakeFaults): TakenStroke[] {
  const { seed, timeOf, jitter = 12, chopMean = 0, lowMean = 0, wrong, late, ring, leftOut } = faults;
  const random = seeded(seed);
  const normal = normals(seed + 1);
  const since = new Map<number, number>();
  return expected.flatMap((stroke, index): TakenStroke[] => {
    const { kind, entry } = stroke;
    const nth = since.get(entry) ?? 0;
    since.set(entry, nth + 1);
    const before = expected.findLast((one) => one.entry < entry)?.chord;
    const chord = wrong?.get(entry) ?? (before && nth < (late?.get(entry) ?? 0) ? before : stroke.chord);
    const mean = kind === 'low' ? lowMean : chopMean;
    const at = timeOf(stroke.at) + mean + jitter * Math.max(-2.5, Math.min(2.5, normal()));
    const next = expected[index + 1];
    const room = next ? timeOf(next.at) - timeOf(stroke.at) : 400;
    const [strength, length, spread] = [random(), random(), random()];
    if (leftOut?.has(index)) return [];
    const { notes } = chord;
    const shape = { index, kind, played: chord.name, at, velocity: 68 + Math.floor(45 * strength) };
    if (kind === 'low')
      return [{ ...shape, notes: notes.slice(0, 1), length: Math.min(room * (0.4 + 0.5 * length), 350) }];
    if (kind === 'up')
      return [
        { ...shape, notes: notes.slice(-2), length: 40 + 30 * length, spread: 2 + 2 * spread, up: true },
      ];
    const choked = 45 + 40 * length;
    return [
      {
        ...shape,
        notes,
        length: ring?.has(index) ? Math.min(0.9 * room, 330) : choked,
        spread: 2 + 5 * spread,
      },
    ];
  });
}
