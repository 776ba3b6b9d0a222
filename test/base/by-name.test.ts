import { describe, expect, it } from 'vitest';
import { byName } from '../../src/base/by-name.js';

describe('the order of names', () => {
  it.each([
    [
      ['Lane 10', 'lane 9', 'Lane 1'],
      ['Lane 1', 'lane 9', 'Lane 10'],
    ],
    [
      ['Zinnia', 'Élan', 'elder'],
      ['Élan', 'elder', 'Zinnia'],
    ],
    [
      ['b', 'A', 'a'],
      ['a', 'A', 'b'],
    ],
  ])('%j', (names, wanted) => {
    expect([...names].sort(byName)).toEqual(wanted);
  });
});
