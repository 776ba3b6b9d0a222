import type { Finger } from './fingering.js';

/** What of a hand's build the price of holding a shape depends on. */
export const gripLengths = {
  /** A fingertip that presses a string, mm across (12 to 15 in hands). */
  tip: 13,
  /** From one finger of a relaxed hand to the next, mm: less is cramped. About a tip and the room to move it. */
  spread: 16,
  /**
   * How far one finger stands from the next along the neck without effort, mm: a fret in the low positions of a
   * mandolin, whose frets 1 to 4 are 19.8 to 16.6 mm wide.
   */
  easySpread: 18,
  /** The part of the farthest reach of a pair up to which nothing strains. */
  easyReach: 0.8,
  /** What a single string asks of a flat finger, of what a double course asks: one string of the two to press. */
  singleShare: 0.5,
} as const;

/** How far neighbouring fingers spread, degrees: index–middle, middle–ring, ring–little (means of 51 hands). */
const spreads = [17.2, 14.3, 32.1] as const;

/**
 * How hard it is to take two fingers apart, index and middle being 1: what lies between them spreads in a row, so the
 * degrees add up. By both fingers' numbers.
 */
const stiffness: readonly (readonly number[])[] = [0, 1, 2, 3, 4].map((one) =>
  [0, 1, 2, 3, 4].map((other) => {
    const degrees = spreads
      .slice(Math.max(0, one - 1), Math.max(0, other - 1))
      .reduce((sum, part) => sum + part, 0);
    return degrees === 0 ? 0 : spreads[0] / degrees;
  }),
);

/** How hard it is to take a finger away from one with a lower number; index and middle are 1. */
export function stiffnessOf(lower: Finger, higher: Finger): number {
  return stiffness[lower]?.[higher] ?? 0;
}

/**
 * How badly a finger lies flat, in steps: the index not at all, the ring less than the little, which is
 * short, and the middle last: it is the longest, and bends away from the strings between its neighbours.
 */
export const flatUnwilling: readonly number[] = [0, 0, 2, 1, 1.5];
