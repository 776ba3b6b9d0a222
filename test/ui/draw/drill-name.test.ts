import { describe, expect, it } from 'vitest';
import { drillName } from '../../../src/ui/draw/drill-name.js';

describe('the name of a drill in the list of a song’s drills', () => {
  const cases: readonly (readonly [title: string, name: string])[] = [
    ['1 and 5 of Weir Hands', '1 and 5'],
    ['bars 1 to 4 of Weir Hands, from the end', 'bars 1 to 4, from the end'],
    ['Weir Hands, one stroke a chord', 'one stroke a chord'],
    ['Weir Hands through 12 keys', 'through 12 keys'],
    ['lift and land in G', 'lift and land in G'],
    ['Weir Hands', 'Weir Hands'],
  ];
  for (const [title, name] of cases) {
    it(`has “${name}” for “${title}”`, () => {
      expect(drillName({ title, from: 'Weir Hands' })).toBe(name);
    });
  }

  it('takes the song’s name out once, where a song is called as a part of a drill is', () => {
    expect(drillName({ title: 'the order of of the Order', from: 'of the Order' })).toBe('the order');
  });
});
