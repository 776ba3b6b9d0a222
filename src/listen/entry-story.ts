import { prior } from './chord-verdict.js';
import type { ExpectedChord } from './expected.js';
import type { Matched } from './matched.js';
import { wasChord } from './timed-stroke.js';

/** One time that a chord of the pass is held: its strokes in order, and the chord before it where it is a change. */
export interface Entry {
  readonly chord: ExpectedChord;
  readonly from: ExpectedChord | null;
  readonly strokes: readonly Matched[];
}

/**
 * What best explains what was heard of an entry: it was the chord; its first strokes had the old chord still; its last ones had the next
 * already; or it was another chord, `heard` (`null`: none that is known).
 */
export interface Story {
  readonly kind: 'right' | 'old' | 'early' | 'wrong';
  /** How many strokes it tells of: those with the old or next chord, or all that were judged. */
  readonly strokes: number;
  readonly heard: string | null;
  /** How likely it is among all that was thought of, 0–1. */
  readonly confidence: number;
}

/**
 * How likely each story is before anything is heard; with the old or the next chord half of it for each stroke that has it
 * (ours: most changes come in time).
 */
const priors = { right: 0.84, old: 0.16, early: 0.1, wrong: 0.03 } as const;
/** Any other story than that it was the chord is believed only from this confidence on. */
const believed = 0.8;
/** The ear is sometimes wrong however sure it is; it counts as at most this sure. */
const mostSure = 0.97;
/** This many strokes of the old chord, or of the next, are thought of at most: more of them are a wrong chord. */
const mostGoOn = 16;
/** Any other chord is one of this many. */
const others = 4;

/** A story that was thought of: which chord each stroke would be, `''` for its own, `null` for any other. */
interface Thought {
  readonly kind: Story['kind'];
  readonly strokes: number;
  readonly heard: string | null;
  readonly prior: number;
  readonly chordAt: (index: number) => string | null;
}

/** What best explains what was heard of an entry, `next` being the chord after it (Bayes' rule). */
export function storyOf(
  { from, strokes }: Pick<Entry, 'from' | 'strokes'>,
  next: ExpectedChord | null,
): Story {
  const heard = strokes.map(heardAs);
  const judged = heard.filter((one) => one !== null).length;
  const count = strokes.length;
  const thoughts: Thought[] = [
    { kind: 'right', strokes: judged, heard: null, prior: priors.right, chordAt: () => '' },
  ];
  for (let many = 1; many <= Math.min(mostGoOn, count - 1); many += 1) {
    const rarer = 2 ** -many;
    if (from)
      thoughts.push({
        kind: 'old',
        strokes: many,
        heard: from.name,
        prior: priors.old * rarer,
        chordAt: (index) => (index < many ? from.name : ''),
      });
    if (next)
      thoughts.push({
        kind: 'early',
        strokes: many,
        heard: next.name,
        prior: priors.early * rarer,
        chordAt: (index) => (index < count - many ? '' : next.name),
      });
  }
  const names = new Set(heard.flatMap((one) => (one && one.name !== '' ? [one.name] : [])));
  for (const name of new Set([...names, null]))
    thoughts.push({
      kind: 'wrong',
      strokes: judged,
      heard: name,
      prior: priors.wrong / (names.size + 1),
      chordAt: () => name,
    });
  const stretches = barStretches(strokes);
  for (const name of names)
    for (const [start, end] of stretches) {
      // A stretch that begins with the chord before, or ends with the next, has been considered as that already.
      if ((start === 0 && name === from?.name) || (end === count && name === next?.name)) continue;
      thoughts.push({
        kind: 'wrong',
        strokes: end - start,
        heard: name,
        prior: priors.wrong / (names.size + 1) / stretches.length,
        chordAt: (index) => (index >= start && index < end ? name : ''),
      });
    }
  const weights = thoughts.map(
    (thought) =>
      Math.log(thought.prior) +
      heard.reduce((sum, one, index) => sum + logOf(one, thought.chordAt(index)), 0),
  );
  const most = Math.max(...weights);
  const best = thoughts[weights.indexOf(most)] as Thought;
  // Stories of one kind are one: how long the old chord went on may be unsure where it is sure that it did.
  const odds = weights.map((weight) => Math.exp(weight - most));
  const of = (test: (thought: Thought) => boolean): number =>
    odds.reduce((sum, one, index) => sum + (test(thoughts[index] as Thought) ? one : 0), 0);
  const confidence = of(({ kind }) => kind === best.kind) / of(() => true);
  // Which fault it was may be unsure where it is sure that it was one.
  const faulty = of(({ kind }) => kind !== 'right') / of(() => true);
  if (best.kind === 'right' || faulty >= believed)
    return { kind: best.kind, strokes: best.strokes, heard: best.heard, confidence };
  return { kind: 'right', strokes: judged, heard: null, confidence: 1 - faulty };
}

/**
 * The stretches of whole bars in which another chord may have been held while the rest was right, as places of strokes: a hand that goes wrong
 * goes on so, and puts it right with a bar. One stroke alone is none: the ear may err.
 */
function barStretches(strokes: readonly Matched[]): [start: number, end: number][] {
  const isStart = (index: number): boolean =>
    strokes[index]?.expected.bar !== strokes[index - 1]?.expected.bar;
  const starts = [...strokes.keys()].filter(isStart).slice(0, mostGoOn);
  return starts.flatMap((start, place) =>
    [...starts.slice(place + 1), strokes.length].flatMap((end): [number, number][] =>
      end - start > 1 && end - start < strokes.length ? [[start, end]] : [],
    ),
  );
}

/** What a stroke was heard as: `''` its own chord, a name, or `null` for another that is not known. */
interface HeardAs {
  readonly name: string | null;
  readonly mayBe: readonly string[];
  readonly confidence: number;
}

/** What a stroke was heard as, sure or not; `null` when nothing was. */
export function heardAs({ heard, expected }: Pick<Matched, 'heard' | 'expected'>): HeardAs | null {
  const { best = null, mayBe = [], confidence = 0.5, leans, asked } = heard?.chord ?? {};
  const right = heard ? wasChord(heard, expected.chord.name) : null;
  if (right !== null) return { name: right ? '' : best, mayBe, confidence: bySound(confidence, right) };
  if (!leans || asked !== expected.chord.name) return null;
  return { name: leans.isAsked ? '' : leans.best, mayBe, confidence: bySound(confidence, leans.isAsked) };
}

/** How likely what the ear says is by the sound alone: what it expected is taken off, since stories have likelihoods of their own. */
function bySound(confidence: number, right: boolean): number {
  const expected = prior.expected / (1 - prior.expected);
  const odds = (confidence / (1 - confidence + 1e-9)) * (right ? 1 / expected : expected);
  return odds / (1 + odds);
}

/** The logarithm of how likely a stroke is heard so when it is the chord `chord`; `null`: any but its own. */
function logOf(heard: HeardAs | null, chord: string | null): number {
  if (!heard) return 0;
  const sure = Math.min(mostSure, heard.confidence);
  const isAny = chord === null;
  // A low note of the chord may be one of another as well; other chords have others besides.
  const isOfBoth = heard.name === '' && heard.mayBe.length > 0;
  if (isOfBoth && isAny) return Math.log(1 / others);
  const fits = isAny ? heard.name !== '' : heard.name === chord || heard.mayBe.includes(chord);
  // What was another chord, which one is not known, may be each of the others.
  const mayFit = !isAny && chord !== '' && heard.name === null;
  // Where any other chord is thought of, each of them is less likely by itself.
  return fits || mayFit ? Math.log(isAny || !fits ? sure / others : sure) : Math.log((1 - sure) / others);
}
