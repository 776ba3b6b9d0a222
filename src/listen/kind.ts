import type { Tone } from './tone.js';

/** What kind of stroke: one low note, a chop of all courses, a light stroke up over the high ones. */
export type StrokeKind = 'low' | 'chop' | 'up';
export const strokeKinds: readonly StrokeKind[] = ['low', 'chop', 'up'];
/** How likely each kind is. */
export type KindShares = Readonly<Record<StrokeKind, number>>;

/** What a kind is told by. */
export interface StrokeSound extends Tone {
  /** Level beside the median of the last strokes, dB. */
  readonly level: number;
  /** Level 85–110 ms behind the attack beside that of its first 40 ms, dB; null when another stroke came before. */
  readonly fall: number | null;
}

/** However sure the sound seems, an instrument that is unlike those of the fit may sound like another kind so often. */
const leastShare = 0.002;
/** No kind is expected less than this. */
const leastExpected = 0.001;
/** How often a hand strikes what the chart has, where its place is known (ours). */
const asMeant = 0.98;
/** The fall that says nothing, dB. */
const middleFall = -6;
/**
 * How much a unit of each measure speaks for low note, chop and upstroke: a logistic regression over strokes rendered with four kinds
 * of plucked strings (mandolin, banjo, ukulele, and a string model), quiet and in noise. Judged with the mandolin left out of
 * the fit it is as good on the mandolin.
 */
const weights: readonly (readonly [
  measure: (sound: StrokeSound) => number,
  low: number,
  chop: number,
  up: number,
])[] = [
  [({ lowest }) => lowest, -0.042, -0.415, 0.457],
  [({ partial }) => partial, -0.059, -0.572, 0.631],
  [({ second }) => second, 1.377, -1.541, 0.164],
  [({ third }) => third, 0.422, 3.204, -3.625],
  [({ single }) => single, 3.925, -7.131, 3.206],
  [({ left }) => left, -8.537, 0.021, 8.516],
  [({ low }) => low, -0.101, 0.216, -0.115],
  [({ even }) => even, -1.694, 3.388, -1.694],
  [({ level }) => level, -0.314, 0.59, -0.276],
  [({ fall }) => Math.max(-15, Math.min(0, fall ?? middleFall)), 0.518, -0.159, -0.359],
  [() => 1, -4.697, 17.484, -12.787],
];

/** How likely each kind is by a stroke's sound alone. */
export function kindShares(sound: StrokeSound): KindShares {
  const scores = strokeKinds.map((_, index) =>
    weights.reduce((sum, [measure, ...parts]) => sum + measure(sound) * (parts[index] as number), 0),
  );
  const most = Math.max(...scores);
  const [low, chop, up] = scores.map((score) => Math.exp(score - most)) as [number, number, number];
  const sum = low + chop + up;
  return { low: low / sum, chop: chop / sum, up: up / sum };
}

/** The likeliest kind by the sound, and by what the music expects there when that is given (Bayes' rule); `sure` is its likelihood, 0–1. */
export function kindOf(sound: KindShares, expected?: KindShares): { kind: StrokeKind; sure: number } {
  // A kind that is not expected at all is only unlikely: hands do what they like.
  const shares = strokeKinds.map(
    (kind) => Math.max(leastShare, sound[kind]) * Math.max(leastExpected, expected?.[kind] ?? 1 / 3),
  );
  const most = Math.max(...shares);
  const kind = strokeKinds[shares.indexOf(most)] as StrokeKind;
  return { kind, sure: most / shares.reduce((sum, share) => sum + share, 0) };
}

/** What to expect of a stroke that was meant for one of a kind. */
export function meantFor(kind: StrokeKind): KindShares {
  const other = (1 - asMeant) / 2;
  return { low: other, chop: other, up: other, [kind]: asMeant };
}
