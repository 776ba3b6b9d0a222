import type { Key } from '../theory/key.js';

/**
 * Where a chord that leads goes: a fifth down, to the chord on that degree of any quality. Chords that are not listed
 * may go anywhere. `5^7` is in it, because a chart writes it only before 1.
 */
const leads: Readonly<Record<string, string>> = {
  '5^7': '1',
  '1^7': '4',
  '2^7': '5',
  '2-^7b5': '5',
  '6^7': '2',
  '3^7': '6',
  'b3^7': 'b6',
};

/**
 * Changes that lines put together must not make, by mode: from 5 back to 4 (it belongs to the twelve-bar song, whose lines
 * have it), from chords that lead to 4 or 1 on to 5, and between a number and another quality of it. Common practice; each is rarely met.
 */
const weak: Readonly<Record<Key['mode'], ReadonlySet<string>>> = {
  major: pairs({
    '5': '4 4- b7 b3 b6 3^7 6^7',
    '3-': '5',
    b7: '5 2- 2^7 2-^7b5 6- 6^7',
    b3: '5 2- 2^7 2-^7b5',
    b6: '4 2- 2^7 6-',
    '4': '3-',
    '4-': '4 2- 6-',
    '6-': 'b7',
  }),
  minor: pairs({
    '5': '4 4- b7 b3 5-',
    '5-': '5 2^7',
    b3: '5 2^7',
    b7: '4 4- 2-^7b5',
    '4': '4- 5',
    '4-': '4',
    b2: '5-',
  }),
};

function pairs(after: Readonly<Record<string, string>>): ReadonlySet<string> {
  return new Set(
    Object.entries(after).flatMap(([number, next]) => next.split(' ').map((one) => `${number} ${one}`)),
  );
}

/** The degree a number is on: `b7` of `b7`, `2` of `2-^7b5`. */
export function degreeOf(number: string): string {
  return /^[b#]?[1-7]/.exec(number)?.[0] ?? number;
}

/** Whether a chord may come after another one of a chart, so that what leads arrives: `2^7` goes to 5 and nowhere else. */
export function resolves(number: string, next: string): boolean {
  const goal = leads[number];
  return number === next || goal === undefined || degreeOf(next) === goal;
}

/** Whether a line that begins with a chord may follow one that ends with another. */
export function joins(number: string, next: string, mode: Key['mode']): boolean {
  return resolves(number, next) && !weak[mode].has(`${number} ${next}`);
}
