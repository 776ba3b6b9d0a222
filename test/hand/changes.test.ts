import { describe, expect, it } from 'vitest';
import { changesOf } from '../../src/hand/changes.js';
import { chordName } from '../../src/theory/chord.js';
import { numberText } from '../../src/theory/number.js';
import { bars } from './charts.js';

const told = (written: string, head = {}): string[] =>
  changesOf(bars(written, head)).map(
    (one) => `${one.bar}.${one.beat} ${numberText(one.number)} ${chordName(one.chord)}`,
  );

describe('changesOf', () => {
  it.each([
    ['one chord a bar', '1 4 5', {}, ['0.0 1 G', '1.0 4 C', '2.0 5 D']],
    ['each chord once for as long as it lasts', '1 1 4 = 1', {}, ['0.0 1 G', '2.0 4 C', '4.0 1 G']],
    ['split bars by their beats', '(1 4) 5', {}, ['0.0 1 G', '0.2 4 C', '1.0 5 D']],
    ['dotted bars by their dots', '(1... 4.) 1', {}, ['0.0 1 G', '0.3 4 C', '1.0 1 G']],
    ['waltz time', '(1.. 4.) 1', { meter: '3/4' }, ['0.0 1 G', '0.2 4 C', '1.0 1 G']],
    ['what has no chord passed over', 'nc 1 nc 1 4', {}, ['1.0 1 G', '4.0 4 C']],
    ['the last kept, though the first follows it', '1 4 1', {}, ['0.0 1 G', '1.0 4 C', '2.0 1 G']],
    ['the bass apart', '1 1/3 1', {}, ['0.0 1 G', '1.0 1/3 G/B', '2.0 1 G']],
    ['marks of no account', "1 1~ '1! 4~", {}, ['0.0 1 G', '3.0 4 C']],
    ['another key', '1 4', { key: 'Bb' }, ['0.0 1 Bb', '1.0 4 Eb']],
  ])('%s', (_, written, head, expected) => {
    expect(told(written, head)).toStrictEqual(expected);
  });

  it('has nothing where nothing is played', () => {
    expect(changesOf([])).toStrictEqual([]);
    expect(told('nc nc')).toStrictEqual([]);
  });
});
