import { type ChordCandidate, chordLikelihood, lowNoteChances, type StrokeKind } from './chord-odds.js';

/** Which chord a stroke was. */
export interface ChordVerdict {
  /** The id of the chord; `null` when unsure, and when it is surely none of the candidates. */
  readonly best: string | null;
  /** Whether it was the expected chord; `null` when unsure. A chord of the same root that only has a note more or less (5 and 5^7) counts as the same; of a low note it is only asked whether it is one of the chord's. */
  readonly expected: boolean | null;
  /** How likely `expected` is right, from 0.5 to 1. */
  readonly confidence: number;
  /** When unsure, though notes were heard: what is likelier, and how likely `expected` is right then is `confidence`. Several such strokes may be sure together. */
  readonly leans?: { readonly best: string | null; readonly expected: boolean };
  /** Of a low note: the candidates that have the note it is, most likely. */
  readonly mayBe?: readonly string[];
  /** How likely each candidate is, by its id; what is left falls to chords that are no candidates. */
  readonly scores: ReadonlyMap<string, number>;
}

/**
 * How likely a stroke is the expected chord before it is heard, or the one before, the one after, all others together, and
 * any major or minor chord that is not a candidate (ours: players play what is there, and when not, most often
 * change late). Players are better than this; more would make the sound count for less, and wrong chords were left unsure (measured on the strokes
 * that the odds were fitted to).
 */
export const prior = { expected: 0.6, before: 0.14, after: 0.06, other: 0.19, stranger: 0.01 } as const;
/** From this much confidence on a verdict is given. */
const sureFrom = 0.8;

/** Every major and minor chord. */
const triads: readonly (readonly number[])[] = Array.from({ length: 24 }, (_, index) => {
  const root = index % 12;
  return [root, (root + (index < 12 ? 4 : 3)) % 12, (root + 7) % 12];
});

/** The verdict when nothing with a pitch was heard. */
export function unsure(candidates: readonly ChordCandidate[]): ChordVerdict {
  const shares = priorsOf(candidates);
  const scores = new Map(candidates.map(({ id }, index) => [id, shares[index] as number]));
  return { best: null, expected: null, confidence: 0.5, scores };
}

/**
 * The verdict by Bayes' rule, the pitch classes taken as independent of each other: `sounding` is how much likelier each of
 * the twelve sounds than not, as logarithms of odds.
 */
export function verdictOf(
  sounding: Float64Array,
  candidates: readonly ChordCandidate[],
  kind: StrokeKind,
): ChordVerdict {
  const known = new Set(candidates.map(({ pitchClasses }) => nameOf(pitchClasses)));
  const strangers = triads
    .filter((pitchClasses) => !known.has(nameOf(pitchClasses)))
    .map((pitchClasses) => ({ notes: [], pitchClasses }));
  const all = [...candidates, ...strangers];
  const priors = [...priorsOf(candidates), ...strangers.map(() => prior.stranger / strangers.length)];
  const expected = expectedOf(candidates);
  if (kind === 'low') return lowVerdict(sounding, candidates, { all, priors, expected });
  const logs = all.map(
    (one, index) => Math.log(priors[index] as number) + chordLikelihood(sounding, one, kind),
  );
  const most = Math.max(...logs);
  const weights = logs.map((log) => Math.exp(log - most));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const shares = weights.slice(0, candidates.length).map((weight) => weight / sum);
  const right = shares.reduce(
    (total, share, index) => total + (isSame(expected, candidates[index] as ChordCandidate) ? share : 0),
    0,
  );
  return verdict(candidates, shares, right);
}

/** Of a low note one pitch class sounds. One of the expected chord is right, whatever other chords have it too. */
function lowVerdict(
  sounding: Float64Array,
  candidates: readonly ChordCandidate[],
  { all, priors, expected }: { all: readonly Voiced[]; priors: readonly number[]; expected: ChordCandidate },
): ChordVerdict {
  const weights = new Float64Array(all.length);
  let sum = 0;
  let right = 0;
  all.forEach((chord, index) => {
    lowNoteChances(chord).forEach((chance, pitchClass) => {
      const weight = (priors[index] as number) * chance * Math.exp(sounding[pitchClass] as number);
      weights[index] = (weights[index] as number) + weight;
      sum += weight;
      if (expected.pitchClasses.includes(pitchClass)) right += weight;
    });
  });
  const shares = [...weights.subarray(0, candidates.length)].map((weight) => weight / sum);
  return { ...verdict(candidates, shares, right / sum), mayBe: havingIt(sounding, candidates) };
}

/** The candidates that have the one pitch class that sounds, more likely than not. */
function havingIt(sounding: Float64Array, candidates: readonly ChordCandidate[]): string[] {
  const weights = sounding.map((one) => Math.exp(one));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return candidates
    .filter(
      ({ pitchClasses }) =>
        pitchClasses.reduce((total, pitchClass) => total + (weights[pitchClass] as number), 0) > sum / 2,
    )
    .map(({ id }) => id);
}

function verdict(
  candidates: readonly ChordCandidate[],
  shares: readonly number[],
  right: number,
): ChordVerdict {
  const scores = new Map(candidates.map(({ id }, index) => [id, shares[index] as number]));
  const confidence = Math.max(right, 1 - right);
  const expected = right > 0.5;
  const best = expected ? expectedOf(candidates).id : bestOther(candidates, shares, 1 - right);
  return confidence < sureFrom
    ? { best: null, expected: null, confidence, leans: { best, expected }, scores }
    : { best, expected, confidence, scores };
}

/** The likeliest of the candidates that are not the expected chord, where it has most of their share; else `null`. */
function bestOther(
  candidates: readonly ChordCandidate[],
  shares: readonly number[],
  all: number,
): string | null {
  const expected = expectedOf(candidates);
  const others = candidates
    .map(({ id, pitchClasses }, index) => ({ id, pitchClasses, share: shares[index] as number }))
    .filter((one) => !isSame(expected, one));
  const top = others.reduce((best, one) => (one.share > best.share ? one : best), { id: '', share: 0 });
  return top.share > sureFrom * all ? top.id : null;
}

function expectedOf(candidates: readonly ChordCandidate[]): ChordCandidate {
  const expected = candidates.find(({ role }) => role === 'expected');
  if (!expected) throw new RangeError('none of the candidates is the expected chord');
  return expected;
}

/** How likely each candidate is before anything is heard: what roles have no candidate is spread over the others. */
function priorsOf(candidates: readonly ChordCandidate[]): number[] {
  const counts = { expected: 0, before: 0, after: 0, other: 0 };
  for (const { role } of candidates) counts[role] += 1;
  const all = candidates.map(({ role }) => prior[role] / counts[role]);
  const sum = all.reduce((total, one) => total + one, 0);
  return all.map((one) => ((1 - prior.stranger) * one) / sum);
}

function nameOf(pitchClasses: readonly number[]): string {
  return [...pitchClasses].sort((one, other) => one - other).join(' ');
}

type Tones = Pick<ChordCandidate, 'pitchClasses'>;
type Voiced = Pick<ChordCandidate, 'notes' | 'pitchClasses'>;

/** Whether two chords are one for a verdict: the same root, and all that one has the other has too, as 5 and 5^7. */
function isSame({ pitchClasses: one }: Tones, { pitchClasses: other }: Tones): boolean {
  const [less, more] = one.length <= other.length ? [one, other] : [other, one];
  return one[0] === other[0] && less.every((pitchClass) => more.includes(pitchClass));
}
