import type { Tone } from './tone.js';

/** What kind of stroke: one low note, a chop of all courses, a light stroke up over the high ones. */
export type StrokeKind = 'low' | 'chop' | 'up';
export const strokeKinds: readonly StrokeKind[] = ['low', 'chop', 'up'];
/** How likely each kind is. */
export type KindShares = Readonly<Record<StrokeKind, number>>;

/** What a kind is recognised by. */
export interface StrokeSound extends Tone {
  /** Level beside the median of the last strokes, dB. */
  readonly level: number;
  /** Level 85–110 ms after the attack beside that of its first 40 ms, dB; null when another stroke came before. */
  readonly fall: number | null;
}

/** However clear the sound seems, it is wrong this often. */
const leastShare = 1e-6;
/** No kind is expected less than this. */
const leastExpected = 0.001;
/** How often a hand strikes what the chart has, where its place is known (ours). */
const asMeant = 0.98;
/** The fall that says nothing, dB. */
const middleFall = -6;
/** What a kind is recognised by, in the order of the weights. */
const measures: readonly ((sound: StrokeSound) => number)[] = [
  ({ lowest }) => lowest,
  ({ partial }) => partial,
  ({ second }) => second,
  ({ third }) => third,
  ({ single }) => single,
  ({ left }) => left,
  ({ low }) => low,
  ({ even }) => even,
  ({ level }) => level,
  ({ fall }) => Math.max(-15, Math.min(0, fall ?? middleFall)),
  () => 1,
];

type Weights = readonly (readonly [low: number, chop: number, up: number])[];

/**
 * How much a unit of each measure speaks for low note, chop and upstroke where nothing is known of the music: a logistic regression over strokes whose
 * chops are of all four courses, rendered with four kinds of plucked strings (mandolin, banjo, ukulele, and a string model), quiet and in noise. Judged with the
 * mandolin left out of the fit it is as good on the mandolin.
 */
const ofAllCourses: Weights = [
  [-0.042, -0.415, 0.457],
  [-0.059, -0.572, 0.631],
  [1.377, -1.541, 0.164],
  [0.422, 3.204, -3.625],
  [3.925, -7.131, 3.206],
  [-8.537, 0.021, 8.516],
  [-0.101, 0.216, -0.115],
  [-1.694, 3.388, -1.694],
  [-0.314, 0.59, -0.276],
  [0.518, -0.159, -0.359],
  [-4.697, 17.484, -12.787],
];

/**
 * The same where it is known what is expected: fitted to chops of three and four courses anywhere on the neck, quiet and in noise, of two guitars, an
 * electric one, koto, harpsichord and synthesised strings. A chop of three courses and an upstroke are hardly told apart by their sound, and it says so.
 */
const ofAnyChop: Weights = [
  [0.135, -0.187, 0.052],
  [-0.307, -0.104, 0.41],
  [-3.588, 2.655, 0.933],
  [-5.442, 4.322, 1.12],
  [0.549, -1.28, 0.731],
  [-2.787, -0.163, 2.95],
  [0.055, 0.002, -0.057],
  [0.418, 0.428, -0.846],
  [-0.301, 0.462, -0.161],
  [0.579, -0.258, -0.321],
  [8.237, -0.954, -7.283],
];

/** How likely each kind is by the sound of a stroke alone, where nothing is expected; and what its sound says where something is. */
export function kindShares(sound: StrokeSound): {
  readonly alone: KindShares;
  readonly evidence: KindShares;
} {
  return { alone: sharesBy(ofAllCourses, sound), evidence: sharesBy(ofAnyChop, sound) };
}

function sharesBy(weights: Weights, sound: StrokeSound): KindShares {
  const values = measures.map((measure) => measure(sound));
  const scores = strokeKinds.map((_, kind) =>
    values.reduce((sum, value, index) => sum + value * (weights[index]?.[kind] ?? 0), 0),
  );
  const most = Math.max(...scores);
  const [low, chop, up] = scores.map((score) => Math.exp(score - most)) as [number, number, number];
  const sum = low + chop + up;
  return { low: low / sum, chop: chop / sum, up: up / sum };
}

/** The likeliest kind: by what its sound says and by what the music expects there (Bayes' rule), when that is given; `sure` is its likelihood, 0–1. */
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
