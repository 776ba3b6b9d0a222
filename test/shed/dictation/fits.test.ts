import { describe, expect, test } from 'vitest';
import { unroll } from '../../../src/chart/unroll.js';
import { chartOfText } from '../../../src/shed/chart-of-text.js';
import { chordSteps, fitsTune, notesUnder } from '../../../src/shed/dictation/fits.js';
import { questionsOf } from '../../../src/shed/dictation/questions.js';
import { cadenceBars, chartSources, sourceChart } from '../../../src/shed/dictation/source.js';
import { parseNumber } from '../../../src/theory/number.js';
import { quality } from '../../../src/theory/quality.js';
import { keyOf } from '../../ui/model.js';

/** Half steps above the tonic, all as long as a beat and on one. */
function onBeats(...steps: number[]) {
  return steps.map((step) => ({ step, beats: 1, onBeat: true }));
}

describe('which chords fit a tune', () => {
  test.each([
    // [notes on beats as half steps above the tonic, the written chord, those that fit beside it, those that do not]
    ['a note alone: whatever has it', onBeats(0), '1', ['4', '6-', '1-', '2^7'], ['5', '2-']],
    [
      'the third of 1, which is the fifth of 6- and the root of 3-',
      onBeats(4),
      '1',
      ['6-', '3-'],
      ['4', '5', '1-'],
    ],
    ['root and third of 4', onBeats(5, 9), '4', ['2-'], ['1', '5', '6-']],
    ['all of 5', onBeats(7, 11, 2), '5', ['5^7', '3-^7'], ['1', '4', '2-']],
    ['the seventh of 2^7', onBeats(0, 6), '2^7', [], ['2-', '1', '4']],
    ['a note that is in no chord but the other', onBeats(10), '1', ['b7', '1^7', '4^sus4'], ['5']],
  ] as const)('%s', (_, notes, written, fit, not) => {
    expect(fitsTune(written, written, notes)).toBe(true);
    for (const answer of fit) expect([answer, fitsTune(answer, written, notes)]).toEqual([answer, true]);
    for (const answer of not) expect([answer, fitsTune(answer, written, notes)]).toEqual([answer, false]);
  });

  test('between beats a note counts half, and a chord that carries as much fits', () => {
    const notes = [
      { step: 2, beats: 1, onBeat: true },
      { step: 9, beats: 2, onBeat: false },
      { step: 0, beats: 1, onBeat: true },
    ];
    // 5 has only the 2: weight 2. 4 has the 9 and the 0: 2 + 2. 6- the same. 1 has the 0: 2.
    expect(fitsTune('4', '5', notes)).toBe(true);
    expect(fitsTune('6-', '5', notes)).toBe(true);
    expect(fitsTune('1', '5', notes)).toBe(true);
    expect(fitsTune('5', '4', notes)).toBe(false);
    expect(fitsTune('3-', '5', notes)).toBe(false);
  });

  test('where the tune is silent only the written chord fits', () => {
    expect(fitsTune('4', '1', [])).toBe(false);
    expect(fitsTune('1', '1', [])).toBe(true);
  });

  test('a chord has the steps of its quality above its root', () => {
    for (const text of ['1', '4', '5^7', 'b7', '6-', '2-^7b5', '#4o']) {
      const read = parseNumber(text);
      if (!read.ok) throw new Error(text);
      const { degree, alter, quality: id } = read.value;
      const root = ([0, 2, 4, 5, 7, 9, 11][degree - 1] as number) + alter;
      expect([...chordSteps(read.value)].sort()).toEqual(
        [...new Set(quality(id).steps.map((step) => (root + step + 12) % 12))].sort(),
      );
    }
  });
});

const chart = chartOfText(`title: Reed Bank
key: G
tempo: 200
form: V
sections:
  V: |
    1 1 4 1
    6- 4 5 1
  C: |
    1 1 1 1
tune:
  V: |
    G2 B2 d2 B2 | B2 A2 G4 | c2 e2 e2 c2 | d4 B4 |
    e2 g2 e2 d2 | c2 e2 g4 | f2 d2 A2 d2 | G8 |
`);

test('the tune under each change is counted from the tonic, whatever the key', () => {
  if (!chart) throw new Error('it does not read');
  const sources = chartSources([chart], 'tune');
  expect(sources.map(({ section }) => section)).toEqual(['V']);
  for (const key of ['G', 'Bb', 'E']) {
    const made = sourceChart({ chart, section: 'V' }, keyOf(key));
    if (!made) throw new Error('there is no such section');
    const { bars } = unroll(made);
    const questions = questionsOf(bars, cadenceBars);
    expect(questions.map(({ from, to }) => `${from}>${to}`)).toEqual([
      '1>4',
      '4>1',
      '1>6-',
      '6->4',
      '4>5',
      '5>1',
    ]);
    const notes = notesUnder(made, bars, questions);
    expect(notes.map((list) => list.map(({ step }) => step))).toEqual([
      [5, 9, 9, 5],
      [7, 4],
      [9, 0, 9, 7],
      [5, 9, 0],
      [11, 7, 2, 7],
      [0],
    ]);
    expect(notes[5]).toEqual([{ step: 0, beats: 4, onBeat: true }]);
    expect(notes.flat().every(({ onBeat }) => onBeat)).toBe(true);
  }
});

test('a section is asked about only where its changes and its tune can be', () => {
  const ask = (text: string) => {
    const read = chartOfText(`title: x\nkey: G\ntempo: 100\nsections:\n  V: |\n    ${text}\n`);
    if (!read) throw new Error(text);
    return chartSources([read], 'changes').length;
  };
  expect(ask('1 4 5 1')).toBe(1);
  // One change is no phrase, seventeen bars are too many, and degrees count from one tonic.
  expect(ask('1 1 4 4')).toBe(0);
  expect(ask('1 4 5 1 1 4 5 1 1 4 5 1 1 4 5 1 1')).toBe(0);
  expect(ask('1 4 @key+2 5 1')).toBe(0);
});
