import type { UnseenLevel } from './unseen-levels.js';

/** How long a chord of a line lasts: two bars, one, or half a bar. */
export type Pace = 2 | 1 | 0.5;

/** What makes a level hard, beside its numbers: how quick the changes are, and what comes unexpectedly. Shares are from 0 to 1. */
export interface LevelRules {
  /** How often a section has which pace. */
  readonly paces: readonly (readonly [weight: number, pace: Pace])[];
  /** How often a chord shares its bar where the pace is a bar: the weight of a line that has such bars. */
  readonly sharedBars: number;
  /** How many colours a song has, with weights. */
  readonly colours: readonly (readonly [weight: number, colours: number])[];
  /** How much likelier than its weight a line is that has a number of the song's colours. */
  readonly coloured: number;
  /** The longest that a chord is held, in bars; and how many changes a bar a song has at least, in a waltz three quarters of it, and each section half. */
  readonly longest: number;
  readonly changes: number;
  /** How many numbers of its colours a song shows at least, where they have so many. */
  readonly shows: number;
  /** The share of changes to 1 from 5 that come by 5^7. */
  readonly sevenths: number;
  readonly waltzes: number;
  /** The share of changes that come early by an eighth. */
  readonly pushes: number;
  /** The share of sections that have a line with a bar more or less than usual. */
  readonly crooked: number;
  /** The share of songs whose last chorus is a whole step up. */
  readonly lifts: number;
}

/** The levels. */
export const levelRules: Readonly<Record<UnseenLevel, LevelRules>> = {
  easy: {
    paces: [
      [6, 2],
      [4, 1],
    ],
    sharedBars: 0,
    colours: [[1, 0]],
    coloured: 1,
    longest: 10,
    changes: 0.25,
    shows: 0,
    sevenths: 0,
    waltzes: 0,
    pushes: 0,
    crooked: 0,
    lifts: 0,
  },
  fair: {
    paces: [
      [3, 2],
      [7, 1],
    ],
    sharedBars: 0.5,
    colours: [[1, 1]],
    coloured: 1.5,
    longest: 10,
    changes: 0.33,
    shows: 1,
    sevenths: 0.3,
    waltzes: 0.15,
    pushes: 0,
    crooked: 0,
    lifts: 0,
  },
  hard: {
    paces: [
      [1, 2],
      [6, 1],
      [2, 0.5],
    ],
    sharedBars: 1.5,
    colours: [
      [2, 1],
      [1, 2],
    ],
    coloured: 2.5,
    longest: 8,
    changes: 0.6,
    shows: 2,
    sevenths: 0.35,
    waltzes: 0.12,
    pushes: 0.08,
    crooked: 0,
    lifts: 0,
  },
  wicked: {
    paces: [
      [5, 1],
      [4, 0.5],
    ],
    sharedBars: 2.5,
    colours: [
      [1, 1],
      [3, 2],
    ],
    coloured: 5,
    longest: 6,
    changes: 0.85,
    shows: 3,
    sevenths: 0.4,
    waltzes: 0.05,
    pushes: 0.2,
    crooked: 0.3,
    lifts: 0.5,
  },
};
