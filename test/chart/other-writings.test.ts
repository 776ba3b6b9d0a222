import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { otherEnding, otherWriting } from '../../src/chart/other-writings.js';
import { parseKey } from '../../src/theory/key.js';
import { qualities } from '../../src/theory/quality.js';
import { chartOf, faultsOf, played } from './written.js';

const key = parseKey('A');
if (!key.ok) throw new Error('A');
const numbers = { kind: 'numbers' } as const;
const letters = { kind: 'letters', key: key.value } as const;

/** What is written elsewhere, and every writing that is meant here. */
const inNumbers: readonly (readonly [string, ...string[]])[] = [
  // the bar before again
  ['%', '='],
  ['%%', '='],
  ['./.', '='],
  ['.|.', '='],
  ['.||.', '='],
  ['𝄎', '='],
  // beats
  ['/', '1', '(1... 5.)'],
  ['//', '1', '(1... 5.)'],
  ['1///', '1'],
  ['6-//', '6-'],
  // left to ring
  ['<1>', '1~'],
  ['<>1', '1~'],
  ['1<>', '1~'],
  ['◇1', '1~'],
  ['1◇', '1~'],
  ['◆6-', '6-~'],
  ['<5^7>', '5^7~'],
  // kinds with signs in them
  ['1^6/9', '1^69'],
  ['5^b9', '5^7b9'],
  ['5^#9', '5^7#9'],
  ['5^♭9', '5^7b9'],
  // degrees
  ['7b', 'b7'],
  ['4#', '#4'],
  ['-6', '6-'],
  ['-2^7', '2-^7'],
  // held
  ['1^fermata', '1_'],
  ['1𝄐', '1_'],
  ['6-𝄐', '6-_'],
  ['fermata', '1_'],
  // early
  ['>4', "'4"],
  ['<4', "'4"],
  ['^4', "'4"],
  ['4<', "'4"],
  ['4>', "'4"],
  ['→4', "'4"],
  ['→6-', "'6-"],
  ['‘4', "'4"],
  ['`4', "'4"],
  ['^7', "'7", '1^7'],
  // no chord
  ['n/c', 'nc'],
  ['N/C', 'nc'],
  ['x', 'nc'],
  ['X', 'nc'],
  ['rest', 'nc'],
  ['-', 'nc', '='],
  ['–', 'nc', '='],
  // bar lines
  ['1|4', '1 4'],
  ['|1|4|5|', '1 4 5'],
  ['|1', '1'],
  // kinds of chords
  ['^dim7', '1o^7'],
  ['dim', '1o'],
  ['maj7', '1^maj7'],
  ['ø', '1-^7b5'],
  ['1dim7', '1o^7'],
  ['1^dim7', '1o^7'],
  ['7dim', '7o'],
  ['7o7', '7o^7'],
  ['#4°7', '#4o^7'],
  ['1maj7', '1^maj7'],
  ['1M7', '1^maj7'],
  ['1^M7', '1^maj7'],
  ['b7M7', 'b7^maj7'],
  ['1Δ', '1^maj7'],
  ['1Δ7', '1^maj7'],
  ['1∆', '1^maj7'],
  ['1△7', '1^maj7'],
  ['1j7', '1^maj7'],
  ['1maj', '1'],
  ['1M', '1'],
  ['2ø', '2-^7b5'],
  ['2ø7', '2-^7b5'],
  ['2m', '2-'],
  ['2min', '2-'],
  ['2mi', '2-'],
  ['2m7', '2-^7'],
  ['2min7', '2-^7'],
  ['2-7', '2-^7'],
  ['2^m7', '2-^7'],
  ['2m7b5', '2-^7b5'],
  ['2m7-5', '2-^7b5'],
  ['4sus', '4^sus4'],
  ['4sus4', '4^sus4'],
  ['1add9', '1^add9'],
  ['5aug', '5+'],
  ['5+7', '5+^7'],
  ['1maj7/3', '1^maj7/3'],
  ['2m/5', '2-/5'],
  ['2m~', '2-~'],
  // Roman numerals
  ['I', '1'],
  ['IV', '4'],
  ['ii', '2-'],
  ['V7', '5^7'],
  ['vi-', '6-'],
  ['ii7', '2-^7'],
  ['vii°', '7o'],
  ['viiø7', '7-^7b5'],
  ['bVII', 'b7'],
  ['IVmaj7', '4^maj7'],
  ['I/III', '1/3'],
];

const inLetters: readonly (readonly [string, ...string[]])[] = [
  ['A∆', 'Amaj7'],
  ['A△7', 'Amaj7'],
  ['AMAJ7', 'Amaj7'],
  ['Ama7', 'Amaj7'],
  ['AMin', 'Am'],
  ['Aminor7', 'Am7'],
  ['Am7-5', 'Am7b5'],
  ['am', 'Am'],
  ['f#m', 'F#m'],
  ['ASus4', 'Asus4'],
  ['A4sus', 'Asus4'],
  ['Ahalfdim', 'Am7b5'],
  ['<A>', 'A~'],
  ['>D', "'D"],
  ['A//', 'A'],
  ['A|D', 'A D'],
  ['%', '='],
  ['x', 'nc'],
];

describe('what others write', () => {
  it.each(inNumbers)('%s is refused with the writing that is meant', (word, ...meant) => {
    const [first, ...more] = faultsOf(chartOf(`1 ${word}`));
    expect(more).toStrictEqual([]);
    expect(first).toContain(`5:7 error “${word}”: `);
    for (const one of meant) {
      expect(first).toContain(`“${one}”`);
      expect(faultsOf(chartOf(`1 ${one}`)).filter((fault) => fault.includes(' error '))).toStrictEqual([]);
    }
    expect(otherWriting(word, numbers)?.meant).toStrictEqual(meant);
  });

  it.each(inLetters)('%s in letters', (word, ...meant) => {
    const [first, ...more] = faultsOf(chartOf(`D ${word}`));
    expect(more).toStrictEqual([]);
    expect(first).toContain(`5:7 error “${word}”: `);
    for (const one of meant) {
      expect(first).toContain(`“${one}”`);
      expect(faultsOf(chartOf(`D ${one}`)).filter((fault) => fault.includes(' error '))).toStrictEqual([]);
    }
  });

  it.each([
    ['1,2', '1st,2nd'],
    ['1', '1st'],
    ['1.', '1st'],
    ['2.', '2nd'],
    ['1.,2.', '1st,2nd'],
    ['2nd,3', '2nd,3rd'],
    ['1-3', '1st,2nd,3rd'],
    ['1&2', '1st,2nd'],
    ['first', '1st'],
    ['final', 'last'],
  ])('[%s … ] is refused as an ending with the one that is meant', (text, meant) => {
    const [first] = faultsOf(chartOf(`|: 1 [${text} 4 5 ] :|`));
    expect(first).toContain(`5:10 error “[${text}” is not an ending; write “[${meant} … ]”`);
    expect(otherEnding(text)).toBe(meant);
    expect(
      faultsOf(chartOf(`|: 1 [${meant} 4 5 ] :|`)).filter((one) => one.includes(' error ')),
    ).toStrictEqual([]);
  });

  it('takes a figure with a full stop for an ending', () => {
    expect(faultsOf(chartOf('|: 1 1. 4 :|'))[0]).toContain('an ending is written “[1st … ]”');
  });

  it('tells slashes after a chord once', () => {
    const faults = faultsOf(chartOf('1 / / / 4 / / /\n5 /'));
    expect(faults.map((fault) => fault.split(' ')[0])).toStrictEqual(['5:7', '5:15', '6:7']);
    expect(faultsOf(chartOf('(1/// 5)'))[0]).toContain('5:6 error “1///”: beats are not written as slashes');
  });

  it.each(['57', '15', '9', 'q', '1x', '5^8', '1~!', '11'])('%s is refused as before', (word) => {
    expect(otherWriting(word, numbers)).toBeNull();
  });

  it('gives writings that read, whatever the word is', () => {
    const degree = fc
      .tuple(fc.constantFrom('', 'b', '#', '♭'), fc.integer({ min: 1, max: 7 }))
      .map((parts) => parts.join(''));
    const suffix = fc.oneof(
      fc.constantFrom(...qualities.flatMap((one) => [one.suffix, one.mark, ...one.aliases])),
      fc.string({ unit: fc.constantFrom(..."mMajindsu-+o°øΔ∆^79#b5<>◇/|~!.'%IViv,"), maxLength: 5 }),
    );
    const root = fc.oneof(degree, fc.constantFrom(...'ABCDEFGabcdefg', 'IV', 'vii', 'bIII', ''));
    const word = fc
      .tuple(
        fc.constantFrom('', '', '>', '<', '^', '◇', '|', "'"),
        root,
        suffix,
        fc.constantFrom('', '', '/3', '>', '//', '|4'),
      )
      .map((parts) => parts.join(''))
      // What ends a word in a section is none of it.
      .filter((text) => !/[()[\]";]/.test(text));
    fc.assert(
      fc.property(word, fc.constantFrom(numbers, letters), (text, notation) => {
        for (const meant of otherWriting(text, notation)?.meant ?? []) {
          const before = notation === letters ? 'nc A' : 'nc 1';
          // A sentence about beats speaks of numbers as an example.
          if (notation === letters && /^\/+$/.test(text)) continue;
          expect(played(chartOf(`${before} ${meant}`, 'crooked: yes\n')), text).toMatch(/^nc 1 ./);
        }
      }),
      { numRuns: 3000 },
    );
  });
});

describe('words of others in bars', () => {
  it.each([
    [
      '@fermata',
      '“@fermata”: a chord that is held until it is released is written with an underscore after it: 1_',
    ],
    ['@hold', 'is written with an underscore after it: 1_'],
    ['@stop', 'go on at a cue, write @wait'],
    ['@pause', 'go on at a cue, write @wait'],
    ['@cue', 'go on at a cue, write @wait'],
    ['@ritard', 'write @rit=80%'],
    ['@rall=70%', 'write @rit=70%'],
    ['@slow', 'write @rit=80%'],
    ['@Key=A', '“@Key=A”: a change of key is written @key=A'],
    ['@F#m', '“@F#m”: a change of key is written @key=F#m'],
    ['D.S. al coda', '5:7 error “D.S. al coda”: write it as an entry of the form: from sign to coda'],
    ['D.C. al Fine', 'from top to fine'],
    ['D.C.', '“D.C.”: write it as an entry of the form: from top'],
    ['da capo', 'from top'],
    ['dal segno', 'from sign'],
    ['𝄋', 'write the mark as @sign'],
    ['fine', 'write the mark as @fine'],
    ['@to coda', '“@to coda”: write the mark as @to-coda'],
  ])('%s says what is meant', (words, says) => {
    expect(faultsOf(chartOf(`1 ${words} 4`))).toStrictEqual([expect.stringContaining(says)]);
  });
});

describe('signs of others around dots and chords', () => {
  it.each([
    ['(1...5.)', '“1...5.”: a space is missing between the chords: “1... 5.”'],
    ['(1… 5.)', '“1…”: the dots are full stops: “1...”'],
    ['(1, 4)', '“1,”: chords need no comma between them; a space is enough: “1”'],
    ['(1 . . 5)', '“.”: the dots of a chord come directly after it, as in (1... 5.)'],
    ['1 “stop” 4', 'a cue is written in straight quotation marks'],
    ['1 4 # the lift', 'a comment among bars begins with “;”'],
    ['||: 1 4 :||', 'a repeat is written |: 1 4 :|'],
    ['A / / /', '“(A... E.)”'],
  ])('%s', (bars, says) => {
    const told = faultsOf(chartOf(bars, 'crooked: yes\n'));
    expect(told.length).toBeGreaterThan(0);
    for (const one of told) expect(one).toContain(says);
  });
});
