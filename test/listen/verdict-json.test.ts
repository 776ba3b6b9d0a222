import { expect, it } from 'vitest';
import { judgePass } from '../../src/listen/judge-pass.js';
import type { TimedStroke } from '../../src/listen/timed-stroke.js';
import { verdictJson } from '../../src/listen/verdict-json.js';
import { expecting } from './expecting.js';

const { expected } = expecting('1 4', { bpm: 120 });
const errors = [4, -6, 4, -6, 64, -6, null, -2];
const names = ['G', 'G', 'G', null, 'G', 'C', null, 'C'];
const heard = expected.flatMap((stroke, index): TimedStroke[] => {
  const error = errors[index];
  if (error == null) return [];
  const best = names[index] ?? null;
  const asked = stroke.chord.name;
  return [
    {
      at: stroke.at + error,
      kind: stroke.kind,
      kindSure: 0.98,
      strength: 0.5128,
      ringMs: index === 7 ? 250.04 : stroke.kind === 'chop' ? 61.26 : null,
      ringsOn: null,
      chord: {
        asked,
        best,
        isAsked: best === null ? null : best === asked,
        confidence: best === null ? 0.6 : 0.9871,
      },
    },
  ];
});

it('writes a verdict as the document that is promised', () => {
  const verdict = judgePass(expected, heard, { level: 'steady', offset: 0 });
  const made = verdictJson(verdict, heard, 1500);
  expect(made.onsets.slice(0, 2)).toStrictEqual([
    { at: 1.504, kind: 'low', strength: 0.513 },
    { at: 1.994, kind: 'chop', strength: 0.513 },
  ]);
  expect(made.onsets).toHaveLength(7);
  expect(made.strokes).toStrictEqual([
    { bar: 1, beat: 1, expected: 'G', heard: 'G', lateMs: 4, ringMs: null, confidence: 0.987 },
    { bar: 1, beat: 2, expected: 'G', heard: 'G', lateMs: -6, ringMs: 61.3, confidence: 0.987 },
    { bar: 1, beat: 3, expected: 'G', heard: 'G', lateMs: 4, ringMs: null, confidence: 0.987 },
    { bar: 1, beat: 4, expected: 'G', heard: null, lateMs: -6, ringMs: 61.3, confidence: 0.6 },
    { bar: 2, beat: 1, expected: 'C', heard: 'G', lateMs: 64, ringMs: null, confidence: 0.987 },
    { bar: 2, beat: 2, expected: 'C', heard: 'C', lateMs: -6, ringMs: 61.3, confidence: 0.987 },
    { bar: 2, beat: 3, expected: 'C', heard: null, lateMs: null, ringMs: null, confidence: 0 },
    { bar: 2, beat: 4, expected: 'C', heard: 'C', lateMs: -2, ringMs: 250, confidence: 0.987 },
  ]);
  // Four chops at −6, −6, −6 and −2: mean −5, standard deviation 2; Student's quantile for three is 3.18. The pass is too short to be judged.
  expect(made.pass).toStrictEqual({
    meanMs: -5,
    spreadMs: 2,
    meanWithinMs: 3.2,
    absolute: true,
    clean: null,
    faults: ['few heard'],
    lowNotes: null,
    runsOff: null,
    changes: [{ from: '1', to: '4', times: 1, heard: 1, late: 1, lateMs: 500, bars: [2] }],
    wrong: [],
    rang: [{ bar: 2, beat: 4, ringMs: 250 }],
    notHeard: [],
    extra: 0,
  });
  expect(JSON.parse(JSON.stringify(made))).toStrictEqual(made);
});

it('says whether a pass that was heard is clean', () => {
  const all = expecting('1 1 4 4 5 5 1 1', { bpm: 120 }).expected;
  const strokes = all.map(
    (stroke): TimedStroke => ({
      at: stroke.at - 10,
      kind: stroke.kind,
      kindSure: 1,
      strength: 1,
      ringMs: 60,
      ringsOn: null,
      chord: null,
    }),
  );
  const { pass } = verdictJson(judgePass(all, strokes, { level: 'job', offset: 0 }), strokes, 0);
  expect(pass).toMatchObject({
    clean: true,
    faults: [],
    meanMs: -10,
    spreadMs: 0,
    lowNotes: { meanMs: -10, spreadMs: 0 },
  });
});
