import type { Key } from '../theory/key.js';
import { type UnseenLevel, unseenLevels } from './unseen-levels.js';

/** Which numbers a song of a mode is made of. */
export interface UnseenNumbers {
  /** What every song has. */
  readonly base: readonly string[];
  /** What gives a song its colour. A song has few colours, as songs have. */
  readonly colours: readonly Colour[];
}

/** Numbers that go together, with the level from which on each is used, and how often songs have them. */
export interface Colour {
  readonly name: string;
  readonly weight: number;
  /** The colour that no song has beside this one. */
  readonly apart?: string;
  readonly numbers: Readonly<Record<string, UnseenLevel>>;
}

/** A colour as a level knows it. */
export type KnownColour = Omit<Colour, 'numbers'> & { readonly numbers: readonly string[] };

/** The numbers by mode. Degrees count from the tonic's major scale, so that in A minor G is `b7`. */
export const unseenNumbers: Readonly<Record<Key['mode'], UnseenNumbers>> = {
  major: {
    base: ['1', '4', '5'],
    colours: [
      { name: 'relatives', weight: 4, numbers: { '2-': 'fair', '6-': 'fair', '3-': 'hard' } },
      {
        name: 'circle',
        apart: 'lowered',
        weight: 2,
        numbers: { '2^7': 'fair', '1^7': 'hard', '6^7': 'hard', '3^7': 'wicked', '6-': 'wicked' },
      },
      { name: 'lowered', apart: 'circle', weight: 2, numbers: { b7: 'fair', b3: 'wicked', b6: 'wicked' } },
      { name: 'borrowed', weight: 1, numbers: { '4-': 'hard', '2-^7b5': 'wicked', b6: 'wicked' } },
    ],
  },
  minor: {
    base: ['1-', '4-', '5', 'b7'],
    colours: [
      { name: 'relative', weight: 4, numbers: { b3: 'fair', b6: 'fair', 'b3^7': 'wicked' } },
      { name: 'minor five', weight: 1, numbers: { '5-': 'fair' } },
      { name: 'major four', weight: 2, numbers: { '4': 'hard' } },
      {
        name: 'leading',
        weight: 1,
        numbers: { '2-^7b5': 'wicked', '2^7': 'wicked', b6: 'wicked', b2: 'wicked' },
      },
    ],
  },
};

/** The colours that a level knows, with the numbers that each has there. */
export function coloursAt(level: UnseenLevel, mode: Key['mode']): readonly KnownColour[] {
  const rank = unseenLevels.indexOf(level);
  return unseenNumbers[mode].colours.flatMap((colour) => {
    const known = Object.entries(colour.numbers)
      .filter(([, from]) => unseenLevels.indexOf(from) <= rank)
      .map(([number]) => number);
    return known.length > 0 ? [{ ...colour, numbers: known }] : [];
  });
}

/** Every number that a chart of a level can have, `5^7` among them where the level has sevenths. */
export function numbersAt(level: UnseenLevel, mode: Key['mode']): ReadonlySet<string> {
  const numbers = [
    ...unseenNumbers[mode].base,
    ...coloursAt(level, mode).flatMap((colour) => colour.numbers),
  ];
  return new Set(level === 'easy' ? numbers : [...numbers, '5^7']);
}
