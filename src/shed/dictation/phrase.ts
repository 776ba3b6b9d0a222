import { byWeight } from '../seeded.js';
import { type MoveWeights, moveName, nextNumber } from './grammar.js';
import type { DictationLevel } from './levels.js';

/** Bars of a phrase, each with the one or two numbers that share it. */
export type PhraseBars = readonly (readonly string[])[];

/** Where changes come each two bars, a phrase has twelve of them; else eight. */
const slowBars = 12;
const usualBars = 8;
/** How often a chord stays for another bar where it might change, and how often a bar is shared. */
const stays = 0.25;
const shares = 0.4;
/** A phrase ends at home, or is left open on 5; these are the odds. */
const ends = { home: 3, open: 1 } as const;
/** A phrase has this many changes at least. */
const fewestChanges = 4;
/** This many phrases are tried for one that has all that is wanted; a third of them without a wanted move, should there be none. */
const tries = 600;

/** A phrase on one line, by which it is known again: `1 1 4 (5 1)`. */
export function phraseText(bars: PhraseBars): string {
  return bars.map((bar) => (bar.length > 1 ? `(${bar.join(' ')})` : bar[0])).join(' ');
}

/** What a phrase must not be, and what it should rather have. */
export interface PhraseWishes {
  /** How much more often each move should come. */
  readonly weights: MoveWeights;
  /** One of these moves at least, where the level has them. */
  readonly wanted: readonly string[];
  /** Phrases that were there already, by their text. */
  readonly seen: ReadonlySet<string>;
}

/**
 * A phrase of a level, at random: it sets out from the tonic, moves as songs and tunes of this kind do, and its last chord is held for
 * two bars. It has what the level brings, a wanted move where it can, and has not been used before, as long as there is another.
 */
export function makePhrase(level: DictationLevel, random: () => number, wishes: PhraseWishes): PhraseBars {
  let second: PhraseBars | null = null;
  let last: PhraseBars | null = null;
  for (let at = 0; at < tries; at += 1) {
    const bars = walk(level, random, wishes.weights);
    if (!bars || movesIn(bars).length < fewestChanges || !bringsNew(level, bars)) continue;
    last = bars;
    if (wishes.seen.has(phraseText(bars))) continue;
    const moves = movesIn(bars);
    if (wishes.wanted.length === 0 || moves.some((move) => wishes.wanted.includes(move))) return bars;
    second ??= bars;
    if (at > tries / 3) return second;
  }
  const found = second ?? last;
  if (!found) throw new RangeError(`no phrase of the level ${level.name}`);
  return found;
}

/** The moves of a phrase in their order, by name. */
export function movesIn(bars: PhraseBars): readonly string[] {
  const numbers = bars.flat();
  return numbers.flatMap((to, at) => {
    const from = numbers[at - 1];
    return from === undefined || from === to ? [] : [moveName(from, to)];
  });
}

function bringsNew({ brings, pace }: DictationLevel, bars: PhraseBars): boolean {
  if (pace === 'half' && !bars.some((bar) => bar.length > 1)) return false;
  // Back and forth between two chords is not a phrase.
  if (new Set(bars.flat()).size < 3) return false;
  return brings.length === 0 || bars.some((bar) => bar.some((number) => brings.includes(number)));
}

/** One way through the grammar; `null` where it ends elsewhere than at home or on 5. */
function walk(level: DictationLevel, random: () => number, weights: MoveWeights): PhraseBars | null {
  const home = level.numbers[0] as string;
  const next = (from: string): string => nextNumber(level, from, random, weights);
  const count = level.pace === 'two bars' ? slowBars : usualBars;
  const bars: string[][] = [[home]];
  let held = home;
  while (bars.length < count - 1) {
    if (level.pace === 'two bars') {
      bars.push([held]);
      if (bars.length < count - 1) {
        held = next(held);
        bars.push([held]);
      }
      continue;
    }
    const isLast = bars.length === count - 2;
    if (!isLast && random() < stays) {
      bars.push([held]);
      continue;
    }
    const first = next(held);
    if (level.pace === 'half' && !isLast && random() < shares) {
      const second = next(first);
      bars.push([first, second]);
      held = second;
    } else {
      bars.push([first]);
      held = first;
    }
  }
  bars.push([held]);
  const end = byWeight(
    [
      [ends.home, home],
      [ends.open, '5'],
    ],
    random,
  );
  return held === end ? bars : null;
}
