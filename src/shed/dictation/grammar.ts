import type { Key } from '../../theory/key.js';
import { byWeight } from '../seeded.js';
import type { DictationLevel } from './levels.js';

/** Which number follows which, and how often: common practice of songs and tunes of this kind; the weights are ours. */
const following: Readonly<Record<Key['mode'], Readonly<Record<string, Readonly<Record<string, number>>>>>> = {
  major: {
    '1': { '4': 6, '5': 5, '6-': 3, b7: 3, '2-': 2, '2^7': 2, '6^7': 2, '3^7': 2 },
    '4': { '1': 6, '5': 5, '2-': 1, '2^7': 1, b7: 1 },
    '5': { '1': 8, '4': 3, '6-': 2 },
    '6-': { '4': 4, '5': 2, '2-': 3, '2^7': 2, '1': 1 },
    '2-': { '5': 8, '4': 1 },
    b7: { '4': 5, '1': 5, '5': 1 },
    '2^7': { '5': 9, '4': 1 },
    '3^7': { '6-': 4, '6^7': 4 },
    '6^7': { '2^7': 5, '2-': 3 },
  },
  minor: {
    '1-': { '4-': 4, '5': 5, b7: 5, b6: 2, b3: 2, '5-': 2 },
    '4-': { '1-': 5, '5': 3, b7: 2 },
    '5': { '1-': 8, '4-': 1, b6: 1 },
    '5-': { '1-': 5, '4-': 2, b6: 1 },
    b7: { '1-': 5, b3: 2, b6: 2, '5': 1, '4-': 1 },
    b6: { b7: 5, '5': 3, b3: 1, '4-': 1 },
    b3: { b7: 4, '4-': 2, '5': 1, b6: 1 },
  },
};

/** How much more often a move should come, by its name (`moveName`): once where it is absent. */
export type MoveWeights = ReadonlyMap<string, number>;

/** A move as it is named: `5>1`. */
export function moveName(from: string, to: string): string {
  return `${from}>${to}`;
}

/** What may follow a number in a level, with weights; never the number itself. */
export function followers(
  level: Pick<DictationLevel, 'mode' | 'numbers'>,
  from: string,
): readonly (readonly [weight: number, number: string])[] {
  const row = following[level.mode][from] ?? {};
  return Object.entries(row).flatMap(([to, weight]) =>
    level.numbers.includes(to) ? [[weight, to] as const] : [],
  );
}

/** The number that comes next, at random; what is misheard comes more often. */
export function nextNumber(
  level: Pick<DictationLevel, 'mode' | 'numbers'>,
  from: string,
  random: () => number,
  weights: MoveWeights,
): string {
  const list = followers(level, from).map(
    ([weight, to]) => [weight * (weights.get(moveName(from, to)) ?? 1), to] as const,
  );
  return byWeight(list, random);
}

/** Every move that a level can have. */
export function movesOf(
  level: Pick<DictationLevel, 'mode' | 'numbers'>,
): readonly (readonly [string, string])[] {
  return level.numbers.flatMap((from) => followers(level, from).map(([, to]) => [from, to] as const));
}
