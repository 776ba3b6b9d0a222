import type { ExpectedChord } from './expected.js';
import type { Matched } from './matched.js';
import { wasChord } from './timed-stroke.js';

/** One time that a chord of the pass is held: its strokes in order, and the chord before it where it is a change. */
export interface Entry {
  readonly chord: ExpectedChord;
  readonly from: ExpectedChord | null;
  readonly strokes: readonly Matched[];
}

/** A chord that was not the chord. */
export interface WrongChord {
  readonly bar: number;
  readonly beat: number;
  readonly chord: ExpectedChord;
  /** What it sounded like, by its name; `null` when nothing known. */
  readonly heard: string | null;
  /** All that was judged of the entry was wrong: another chord was held. Else single strokes. */
  readonly whole: boolean;
  /** Wrong strokes, and how likely at least one of them is really wrong. */
  readonly strokes: number;
  readonly confidence: number;
}

/** What the strokes of one entry say of its change: how long the old chord went on. */
export interface OldChord {
  /** Strokes with the old chord behind the change, and ms from the change to the first with the new one. */
  readonly strokes: number;
  readonly ms: number;
  readonly confidence: number;
}

/** The entries of chords in a pass. */
export function entriesOf(strokes: readonly Matched[]): Entry[] {
  const entries: { chord: ExpectedChord; from: ExpectedChord | null; strokes: Matched[]; entry: number }[] =
    [];
  for (const stroke of strokes) {
    const { chord, from, entry } = stroke.expected;
    const last = entries.at(-1);
    if (last?.entry === entry) last.strokes.push(stroke);
    else entries.push({ chord, from, entry, strokes: [stroke] });
  }
  return entries;
}

/** Whether a stroke was its chord; `null` when unsure, or not heard. */
export function wasRight({ heard, expected }: Matched): boolean | null {
  return heard ? wasChord(heard, expected.chord.name) : null;
}

/**
 * How long the old chord went on behind a change: its first strokes sounded like the one before, and a later one was right.
 * `null` where the change was in time, or that was not heard.
 */
export function oldChordOf({ from, strokes }: Entry): OldChord | null {
  if (!from) return null;
  const right = strokes.findIndex((stroke) => wasRight(stroke) === true);
  const leading = strokes.slice(0, Math.max(0, right));
  const old = leading.filter((one) => wasRight(one) === false && one.heard?.chord?.best === from.name);
  if (old.length === 0 || leading.some((one) => wasRight(one) === false && !old.includes(one))) return null;
  const ms = (strokes[right] as Matched).expected.at - (strokes[0] as Matched).expected.at;
  return { strokes: old.length, ms, confidence: together(old) };
}

/** What of an entry was not its chord, beside an old one that went on; `null` when nothing was heard to be wrong. */
export function wrongOf(entry: Entry, next: ExpectedChord | null): WrongChord | null {
  const old = oldChordOf(entry);
  const judged = entry.strokes.filter((one) => wasRight(one) !== null);
  const lastRight = judged.findLastIndex((one) => wasRight(one) === true);
  const wrong = judged.filter((one, index) => {
    if (wasRight(one) !== false) return false;
    const { best } = one.heard?.chord ?? {};
    if (old && best === entry.from?.name) return false;
    // The next chord at the very end is a change that came early, and no wrong chord.
    return !(lastRight >= 0 && index > lastRight && next && best === next.name);
  });
  const [first] = wrong;
  if (!first) return null;
  return {
    bar: first.expected.bar,
    beat: first.expected.beat,
    chord: entry.chord,
    heard: mostHeard(wrong),
    whole: wrong.length === judged.length || wrong.length > 2 * (judged.length - wrong.length),
    strokes: wrong.length,
    confidence: together(wrong),
  };
}

/** How likely at least one of strokes that were heard wrong is wrong: the ear errs on each by itself. */
function together(strokes: readonly Matched[]): number {
  return 1 - strokes.reduce((product, { heard }) => product * (1 - (heard?.chord?.confidence ?? 0)), 1);
}

function mostHeard(strokes: readonly Matched[]): string | null {
  const counts = new Map<string, number>();
  for (const { heard } of strokes) {
    const best = heard?.chord?.best;
    if (best) counts.set(best, (counts.get(best) ?? 0) + 1);
  }
  const [top] = [...counts].sort(([, one], [, other]) => other - one);
  return top && 2 * top[1] > strokes.length ? top[0] : null;
}
