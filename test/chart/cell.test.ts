import { describe, expect, it } from 'vitest';
import { looksLikeLetters, looksLikeNumber, type Notation, readCell } from '../../src/chart/cell.js';
import { numberText } from '../../src/theory/number.js';
import { key } from '../theory/reading.js';

const numbers: Notation = { kind: 'numbers' };
const lettersInA: Notation = { kind: 'letters', key: key('A') };

function told(word: string, notation: Notation): unknown {
  const cell = readCell(word, notation);
  if (!cell.ok) return [cell.fault.at, cell.fault.message];
  const { chord, dots, early, ending } = cell.value;
  return [chord && numberText(chord), dots, early, ending];
}

describe('a cell in numbers', () => {
  it.each([
    ['1', '1', null, false, 'plain'],
    ['b7', 'b7', null, false, 'plain'],
    ['5^7/7', '5^7/7', null, false, 'plain'],
    ["'4", '4', null, true, 'plain'],
    ['’4', '4', null, true, 'plain'],
    ['6-~', '6-', null, false, 'ring'],
    ['5!', '5', null, false, 'stop'],
    ['1...', '1', 3, false, 'plain'],
    ['5^7.', '5^7', 1, false, 'plain'],
    ['1..~', '1', 2, false, 'ring'],
    ['1~..', '1', 2, false, 'ring'],
    ["'b7..!", 'b7', 2, true, 'stop'],
    ['nc', null, null, false, 'plain'],
    ['NC', null, null, false, 'plain'],
    ['n.c', null, null, false, 'plain'],
    ['nc..', null, 2, false, 'plain'],
  ])('%s', (word, ...parts) => {
    expect(told(word, numbers)).toStrictEqual(parts);
  });

  it.each(['N.C.', 'n.c.'])('%s is not a chord, and its last full stop no beat', (word) => {
    expect(told(word, numbers)).toStrictEqual([null, null, false, 'plain']);
  });

  it.each([
    ['57', 1, /“57” can be read two ways/],
    ["'57", 2, /“57” can be read two ways/],
    ['q', 0, /“q” is not a number/],
    ["'", 0, /“'” has no chord; a mark goes with a chord/],
    ['~', 0, /“~” has no chord/],
    [
      '1~!',
      1,
      /“~!” has two marks that exclude each other; a chord rings \(~\), stops \(!\) or is held \(_\)/,
    ],
    ['1_~', 1, /“_~” has two marks that exclude each other/],
    ['1_!', 1, /“_!” has two marks that exclude each other/],
    ['1__', 1, /“__” has two marks that exclude each other/],
    ['1_0', 1, /“_0” does not say how long to hold; write _ alone, .* from 1 to 64: 1_6/],
    ['1_65', 1, /“_65” does not say how long to hold/],
    ['nc_', 2, /“nc_” has no chord to hold; to stop the band, write @wait/],
    ['_6', 0, /“_6” has no chord/],
    ["'1!!", 2, /“!!” has two marks that exclude each other/],
    ['A', 0, /“A” is a letter in a section of numbers/],
    ['a', 0, /“a” is not a number; write a degree from 1 to 7, or a chord with a capital letter/],
    ['l', 0, /“l” is a letter; did you mean the figure “1”\?/],
    ['I', 0, /“I” is a letter; did you mean the figure “1”\?/],
    ['O', 0, /“O” is not a number; a bar without a chord is written nc/],
    ['9', 0, /there is no degree 9/],
  ])('%s is refused at offset %i', (word, at, sentence) => {
    expect(told(word, numbers)).toStrictEqual([at, expect.stringMatching(sentence)]);
  });

  // In time that grows with the square of the word this takes minutes.
  it('answers at once on a word of very many dots that ends in something else', () => {
    const word = `1${'.'.repeat(250_000)}x`;
    expect(told(word, numbers)).toStrictEqual([1, expect.stringMatching(/is not a quality/)]);
  });
});

describe('a cell in letters', () => {
  it.each([
    ['A', '1'],
    ['F#m', '6-'],
    ['F♯m', '6-'],
    ['G', 'b7'],
    ['D/F#', '4/6'],
    ['E7', '5^7'],
    ['nc', null],
  ])('%s in A is %s', (word, number) => {
    expect(told(word, lettersInA)).toStrictEqual([number, null, false, 'plain']);
  });

  it('has the same marks', () => {
    expect(told("'E7..~", lettersInA)).toStrictEqual(['5^7', 2, true, 'ring']);
  });

  it.each([
    ['1', 0, /“1” is a number in a section of letters/],
    ['Hm', 0, /“Hm” is not a chord/],
    ["'Aq", 2, /“q” is not a chord quality/],
  ])('%s is refused at offset %i', (word, at, sentence) => {
    expect(told(word, lettersInA)).toStrictEqual([at, expect.stringMatching(sentence)]);
  });
});

describe('how a word looks', () => {
  it.each([
    ['A', true, false],
    ["'F#m", true, false],
    ['1', false, true],
    ["'b7", false, true],
    ['♯4', false, true],
    ['9', false, true],
    ['H', false, false],
    ['nc', false, false],
    ['=', false, false],
  ])('%s: letters %s, number %s', (word, letters, number) => {
    expect(looksLikeLetters(word)).toBe(letters);
    expect(looksLikeNumber(word)).toBe(number);
  });
});
