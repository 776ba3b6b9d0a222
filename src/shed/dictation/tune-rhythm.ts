import { byWeight } from '../seeded.js';
import type { PhraseBars } from './phrase.js';

/** A note of the tune's outline: the bar, from 0, the beat in it and how many beats it has; and the number that sounds under it. */
export interface OutlineNote {
  readonly bar: number;
  readonly beat: number;
  readonly beats: number;
  readonly number: string;
  /** A rest follows: there is breath. */
  readonly breath: boolean;
}

/** Beats of a bar, and bars up to a breath. */
export const beatsPerBar = 4;
const barsToBreath = 4;
/** Rhythms of a bar in whole beats, and how often each comes. All but the long one leave room for a chord that comes in the middle. */
const rhythms: readonly (readonly [weight: number, beats: readonly number[]])[] = [
  [5, [1, 1, 1, 1]],
  [3, [2, 1, 1]],
  [3, [1, 1, 2]],
  [2, [2, 2]],
];
/** In front of a breath a long note, in the middle of a bar that is shared a shorter one. */
const toBreath = [2, 1] as const;

/**
 * When the tune strikes, at random: notes of a beat and of two, a long one and a rest at the end of each four bars. The rhythm of the first two
 * bars of four comes again in the next four, so that it hangs together. Each chord has a note when it comes.
 */
export function tuneOutline(bars: PhraseBars, random: () => number): readonly OutlineNote[] {
  const drawn = Array.from({ length: barsToBreath }, () => byWeight(rhythms, random));
  return bars.flatMap((numbers, bar): OutlineNote[] => {
    const place = bar % barsToBreath;
    const isBreath = place === barsToBreath - 1 || bar === bars.length - 1;
    const isLast = bar === bars.length - 1;
    const again = place < 2 ? (drawn[place] ?? []) : byWeight(rhythms, random);
    const rhythm: readonly number[] = isLast ? [3] : isBreath ? toBreath : again;
    let beat = 0;
    return rhythm.map((beats, at): OutlineNote => {
      const half = Math.floor((beat * numbers.length) / beatsPerBar);
      const note = {
        bar,
        beat,
        beats,
        number: numbers[half] as string,
        breath: isBreath && at === rhythm.length - 1,
      };
      beat += beats;
      return note;
    });
  });
}
