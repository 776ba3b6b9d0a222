import type { UnseenLevel } from '../../src/shed/unseen-levels.js';
import type { Key } from '../../src/theory/key.js';

/** The share of a number in all bars of a level's charts: bounds in hundredths, and why they are those. */
export interface ShareBound {
  readonly mode: Key['mode'];
  readonly levels: readonly UnseenLevel[];
  readonly number: string;
  readonly least: number;
  readonly most: number;
  readonly reason: string;
}

const all: readonly UnseenLevel[] = ['easy', 'fair', 'hard', 'wicked'];

/** The bounds. */
export const shareBounds: readonly ShareBound[] = [
  {
    mode: 'major',
    levels: all,
    number: '1',
    least: 40,
    most: 60,
    reason:
      'songs of this kind are at home about half of the time; above three fifths there is little to change',
  },
  {
    mode: 'major',
    levels: all,
    number: '5',
    least: 15,
    most: 28,
    reason: 'nearly every phrase cadences by it',
  },
  {
    mode: 'major',
    levels: all,
    number: '4',
    least: 10,
    most: 22,
    reason: 'most songs have it, for less long than 5',
  },
  {
    mode: 'major',
    levels: ['fair', 'hard'],
    number: '6-',
    least: 2,
    most: 8,
    reason: 'the commonest chord after 1, 4 and 5, yet in few songs',
  },
  {
    mode: 'major',
    levels: ['fair', 'hard'],
    number: '2-',
    least: 1.5,
    most: 7,
    reason: 'on the way to 5 only',
  },
  {
    mode: 'major',
    levels: ['fair', 'hard'],
    number: '2',
    least: 1,
    most: 5,
    reason: '2^7 is a bar before 5',
  },
  {
    mode: 'major',
    levels: ['fair', 'hard', 'wicked'],
    number: 'b7',
    least: 1.5,
    most: 7,
    reason: 'songs with b7 are a family of their own, about a fifth of them, and are on it for a bar or two',
  },
  {
    mode: 'minor',
    levels: all,
    number: '1-',
    least: 40,
    most: 63,
    reason: 'as 1 in major; with four numbers, easy songs are at home a little longer',
  },
  {
    mode: 'minor',
    levels: all,
    number: 'b7',
    least: 10,
    most: 20,
    reason: 'the chord that most songs in minor leave home by',
  },
  {
    mode: 'minor',
    levels: all,
    number: '5',
    least: 8,
    most: 16,
    reason: 'the strong cadence; b7 takes part of it',
  },
  {
    mode: 'minor',
    levels: all,
    number: '4-',
    least: 3,
    most: 17,
    reason: 'the one other chord of easy songs; later one of many',
  },
  {
    mode: 'minor',
    levels: ['fair', 'hard', 'wicked'],
    number: 'b3',
    least: 3,
    most: 12,
    reason: 'home of the relative major',
  },
  {
    mode: 'minor',
    levels: ['fair', 'hard', 'wicked'],
    number: 'b6',
    least: 2,
    most: 11,
    reason: 'on the way down to 5 or up to b7',
  },
  {
    mode: 'minor',
    levels: ['fair', 'hard', 'wicked'],
    number: '5-',
    least: 1,
    most: 6,
    reason: 'where the song has no leading note',
  },
];

/** A form that players know by heart, and of a thousand charts of a level at least how many have it. */
export interface KnownForm {
  readonly mode: Key['mode'];
  /** Bars of a section, or of its beginning. */
  readonly bars: string;
  readonly whole: boolean;
  readonly least: Partial<Readonly<Record<UnseenLevel, number>>>;
}

function form(mode: Key['mode'], whole: boolean, bars: string, least: KnownForm['least']): KnownForm {
  return { mode, bars, whole, least };
}

/** The forms. A level that is not named need not have it: its numbers or its pace are others. */
export const knownForms: readonly KnownForm[] = [
  form('major', true, '1 1 4 1 1 1 5 1', { easy: 20, fair: 5, hard: 1 }),
  form('major', true, '1 4 1 5 1 4 5 1', { easy: 15, fair: 5 }),
  form('major', false, '1 1 4 4 5 5 1 1', { easy: 10, fair: 1 }),
  form('major', false, '1 1 1 1 1 1 5 5', { easy: 15, fair: 2 }),
  form('major', false, '1 1 1 1 1 1 1 1', { easy: 10 }),
  form('major', true, '1 1 1 1 4 4 1 1 1 1 1 1 5 5 1 1', { easy: 5 }),
  form('major', true, '1 1 4 4 1 1 5 5 1 1 4 4 5 5 1 1', { easy: 5 }),
  form('major', true, '1 1 4 4 1 1 5 5 1 1 4 4 1 5 1 1', { easy: 4 }),
  form('major', false, '1 1 5 5 5 5 1 1', { easy: 10, fair: 1 }),
  form('major', true, '1 1 1 1 4 4 1 1 5 5 1 1', { easy: 10 }),
  form('major', true, '1 1 1 1 4 4 1 1 5 4 1 1', { easy: 5 }),
  form('major', false, '4 4 1 1 5 5 1 1', { easy: 15, fair: 3 }),
  form('major', false, '4 4 1 1 5 5 5 5', { easy: 7 }),
  form('major', false, '4 4 1 1 2^7 2^7 5 5', { fair: 4, hard: 1 }),
  form('major', false, '1 6- 4 5', { fair: 25, hard: 25, wicked: 20 }),
  form('major', false, '1 2- 5 1', { fair: 25, hard: 25 }),
  form('major', false, '1 b7 4 1', { fair: 8, hard: 8 }),
  form('major', true, '1 1 b7 1 1 1 5 1', { fair: 3, hard: 1 }),
  form('major', false, '6- 4 1 5', { fair: 25, hard: 30, wicked: 30 }),
  form('major', false, '1 6^7 2^7 5', { hard: 15, wicked: 10 }),
  form('minor', true, '1- 1- b7 1- 1- 1- 5 1-', { easy: 12, fair: 5 }),
  form('minor', true, '1- 1- 4- 1- 1- 1- 5 1-', { easy: 10, fair: 3 }),
  form('minor', false, '1- 1- 1- 1- b7 b7 1- 1-', { easy: 25, fair: 5 }),
  form('minor', true, '1- 1- 1- 1- 4- 4- 1- 1- 5 5 1- 1-', { easy: 6 }),
  form('minor', false, '1- b7 1- 5', { easy: 15, fair: 15 }),
  form('minor', false, '1- b7 b6 5', { fair: 30, hard: 30, wicked: 30 }),
  form('minor', false, '1- b3 b7 1-', { fair: 25, hard: 30 }),
  form('minor', false, 'b3 b3 b7 b7', { fair: 8 }),
  form('minor', false, 'b6 b7 1- 1-', { fair: 30, hard: 25 }),
];
