import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isSameChord, numberByDigit, turnedTo, typedAnswer } from '../../../src/shed/dictation/answer-key.js';
import {
  type Answers,
  isClosed,
  marginsAt,
  noAnswers,
  questionFor,
  withAnswer,
} from '../../../src/shed/dictation/answers.js';
import type { Question } from '../../../src/shed/dictation/questions.js';

/** Half a second a beat: the grace is 0.8 beats, the early margin 0.4. */
const margins = marginsAt(500);

/** A change in bar 1 (beat 4), two in bar 2 (beats 8 and 10), one in bar 3 (beat 12), and the end at beat 20. */
const questions: readonly Question[] = [
  { bar: 1, at: 4, until: 8, from: '1', to: '4' },
  { bar: 2, at: 8, until: 12, from: '4', to: '5' },
  { bar: 2, at: 10, until: 12, from: '5', to: '1' },
  { bar: 3, at: 12, until: 20, from: '1', to: '5' },
];

/** Answers given at these beats, one after the other: which question each was for. */
function taken(...beats: readonly number[]): readonly (number | null)[] {
  let answers: Answers = noAnswers(questions);
  return beats.map((at) => {
    const index = questionFor(questions, answers, at, margins);
    if (index !== null) answers = withAnswer(answers, index, { number: '1', at });
    return index;
  });
}

describe('which change an answer is for', () => {
  test.each([
    ['before anything has changed: none', [1], [null]],
    ['from the change on', [4], [0]],
    ['as late as the next change', [7.9], [0]],
    ['within the grace behind it, where there is none yet', [8.7], [0]],
    ['behind the grace the next one', [8.9], [1]],
    ['within the grace, where the one before is answered: the next', [5, 8.1], [0, 1]],
    ['just before a change, where the one before is answered: that change', [5, 7.7], [0, 1]],
    ['just before it, where it is not: the one that sounds', [7.7], [0]],
    ['once more in its time: in its place', [5, 6], [0, 0]],
    ['a shared bar takes two in order until it is over', [9, 11], [1, 2]],
    ['and both late in the bar', [11, 11.2], [1, 2]],
    ['and within the grace behind it', [12.1, 12.2], [1, 2]],
    ['a third one in it goes to the last', [9, 11, 11.5], [1, 2, 2]],
    ['the last change has until the end', [19.9], [3]],
    ['far behind the end: none', [21], [null]],
  ] as const)('%s', (_, beats, expected) => {
    expect(taken(...beats)).toEqual(expected);
  });

  test('who answers each change in its own time is always understood', () => {
    const share = fc.double({ min: 0, max: 0.999, noNaN: true });
    fc.assert(
      fc.property(share, share, share, share, (...shares) => {
        const spans = [
          [4, 8.79],
          [8, 10],
          [10, 12.79],
          [12, 20],
        ] as const;
        const beats = spans.map(([from, to], index) => from + (to - from) * (shares[index] as number));
        // In the order in which they are given.
        const ordered = beats.map((beat, index) => Math.max(beat, ...beats.slice(0, index)));
        expect(taken(...ordered)).toEqual([0, 1, 2, 3]);
      }),
    );
  });

  test('a question takes nothing when it is closed', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 25, noNaN: true }), (at) => {
        const index = questionFor(questions, noAnswers(questions), at, margins);
        if (index === null) return;
        expect(isClosed(questions[index] as Question, at, margins)).toBe(false);
        // The oldest one that is open.
        for (const earlier of questions.slice(0, index)) expect(isClosed(earlier, at, margins)).toBe(true);
      }),
    );
  });
});

describe('what digits name', () => {
  const all = ['1', '4', '5', '6-', '2-', 'b7', '2^7', '3^7', '6^7'];
  test.each([
    [1, null, '1'],
    [2, null, '2-'],
    [2, '2-', '2^7'],
    [2, '2^7', '2-'],
    [6, '6-', '6^7'],
    [6, '4', '6-'],
    [3, null, '3^7'],
    [3, '3^7', '3^7'],
    [7, null, 'b7'],
  ] as const)('%d after %s is %s', (digit, before, number) => {
    expect(numberByDigit(all, 'major', digit, before)).toBe(number);
  });

  test.each([
    ['1', '1-'],
    ['3', 'b3'],
    ['6', 'b6'],
    ['5', '5'],
    ['5-', '5-'],
    ['b7', 'b7'],
    ['♭7', 'b7'],
    ['2^7', '2^7'],
    ['8', null],
    ['x', null],
    ['', null],
  ] as const)('typed in a minor key %s is %s', (text, number) => {
    expect(typedAnswer(text, ['1-', '4-', '5', 'b7'], 'minor')).toBe(number);
  });

  test.each([
    ['2', 'minor', '2-'],
    ['2-', 'minor', '2'],
    ['2', 'seventh', '2^7'],
    ['2^7', 'seventh', '2'],
  ] as const)('%s made %s is %s', (answer, way, number) => {
    expect(turnedTo(answer, way)).toBe(number);
  });

  test.each([
    ['5', '5^7', true],
    ['2', '2^7', true],
    ['2-', '2^7', false],
    ['1', '1/3', true],
    ['b7', '7', false],
    ['1', '1-', false],
    ['6-^7', '6-', true],
  ] as const)('%s and %s are the same chord: %s', (one, other, same) => {
    expect(isSameChord(one, other)).toBe(same);
  });
});
