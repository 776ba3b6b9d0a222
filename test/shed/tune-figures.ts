/**
 * An outside measure of how often numbers and changes come: figures counted from a public collection of tunes with chords.
 *
 * Source: the Nottingham Music Database in its cleaned edition (jukedeck/nottingham-dataset, folder ABC_cleaned, commit
 * bcb2afc67d291acdd689ed0c22ab2a8a480f38a6), GPL-3.0. Only figures are taken from it, nothing of any tune.
 *
 * Counted by hand from the chord signs of the first 67 tunes of reelsa-c (one, whose meter changes, left out), the first 37 of
 * waltzes and all 15 of playford: each written bar once, repeats not again, of two alternative chords the first, sevenths and
 * basses not told apart, a bar's chords with equal shares; changes within parts only. Keys are those the chords tell: a tune
 * that is signed with one sharp and goes home to A minor is in A minor. They are dance tunes and songs of the British
 * Isles and North America: near to what is meant, not the same.
 */
export interface TuneFigures {
  readonly parts: number;
  readonly bars: number;
  readonly changes: number;
  /** Bars by number; a change counts with the number it goes from and the one it goes to. */
  readonly numbers: Readonly<Record<string, number>>;
  readonly successions: Readonly<Record<string, number>>;
}

/** The figures by mode: numbers above one bar in a hundred, and the commonest changes. */
export const tuneFigures: Readonly<Record<'major' | 'minor', TuneFigures>> = {
  major: {
    parts: 212,
    bars: 2464,
    changes: 2202,
    numbers: { '1': 1192, '5': 578.5, '4': 313.5, '2-': 135.3, '6-': 115, '2': 51.5, b7: 24.5 },
    successions: {
      '5 1': 564,
      '1 5': 313,
      '1 4': 280,
      '4 1': 182,
      '2- 5': 148,
      '4 5': 121,
      '1 2-': 81,
      '1 6-': 61,
      '2 5': 52,
    },
  },
  minor: {
    parts: 26,
    bars: 253,
    changes: 273,
    numbers: { '1-': 109.3, b7: 37.5, '5': 33.5, b3: 21, '4-': 13.5, '5-': 13, '4': 10, b6: 9.8 },
    successions: {
      '5 1-': 40,
      '1- 5': 25,
      '1- b7': 20,
      'b7 1-': 19,
      '1- 5-': 12,
      '1- 4-': 12,
      '1- 4': 11,
      '4- 5': 11,
    },
  },
};

/**
 * How far a chart's shares may be from the collection's, in points of a hundred. In major, where the figures are many, what
 * differs is the music: songs hold 1 for longer than dance tunes and come home from 4 more often. In minor there are 273 changes in
 * all: a share of 15 in a hundred is known to 4 points either way, and songs come home from b7 where dance tunes go on.
 */
export const tolerance: Readonly<Record<'major' | 'minor', number>> = { major: 6.5, minor: 10 };
