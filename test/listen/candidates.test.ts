import { expect, it } from 'vitest';
import { candidatesOf } from '../../src/listen/candidates.js';
import { expecting } from './expecting.js';

const { expected } = expecting('1 4 5 6- 1');
const rolesIn = (bar: number): string[] =>
  candidatesOf(
    expected,
    expected.findIndex((one) => one.bar === bar),
  ).map(({ id, role }) => `${id} ${role}`);

it.each([
  [2, ['D expected', 'C before', 'Em after', 'G other']],
  // The pass goes round, from its last chord to its first.
  [0, ['G expected', 'C after', 'D other', 'Em other']],
  [4, ['G expected', 'Em before', 'C other', 'D other']],
])('thinks of each chord of the pass once, in bar %i', (bar, roles) => {
  expect(rolesIn(bar)).toStrictEqual(roles);
});

it('thinks of nothing beyond the pass, and of what the hand plays of each chord', () => {
  expect(candidatesOf(expected, 99)).toStrictEqual([]);
  expect(candidatesOf(expected, 0)[0]).toMatchObject({ notes: [62, 67, 71, 79], pitchClasses: [7, 11, 2] });
});
