import { describe, expect, it } from 'vitest';
import type { ChordVerdict } from '../../src/listen/chord-verdict.js';
import { heardChord } from '../../src/listen/heard-chord.js';
import { judgePass } from '../../src/listen/judge-pass.js';
import type { HeardChord, TimedStroke } from '../../src/listen/timed-stroke.js';
import { expecting } from './expecting.js';

const verdict = (rest: Partial<ChordVerdict>): ChordVerdict => ({
  best: null,
  expected: null,
  confidence: 0.6,
  scores: new Map([
    ['C', 0.01],
    ['G', 0.5],
    ['D', 0.3],
    ['F', 0.02],
  ]),
  ...rest,
});

describe('a chord as a pass is judged by it', () => {
  it('says which other chords have a low note', () => {
    const low = verdict({ expected: false, confidence: 0.99, mayBe: ['G', 'C', 'D'] });
    expect(heardChord(low, 'C')).toStrictEqual({
      asked: 'C',
      best: null,
      isAsked: false,
      confidence: 0.99,
      mayBe: ['G', 'D'],
    });
    expect(heardChord(verdict({}), 'C')).not.toHaveProperty('mayBe');
  });

  it('is another chord for a whole bar although its low notes are of both', () => {
    const { expected } = expecting('1 1 4 4 1 1 5 1', { bpm: 120 });
    const heard = expected.map((stroke): TimedStroke => {
      const asked = stroke.chord.name;
      const isWrong = stroke.bar === 7 && stroke.kind === 'chop';
      const right: HeardChord = { asked, best: asked, isAsked: true, confidence: 0.999 };
      const chord = isWrong
        ? { asked, best: 'C', isAsked: false, confidence: 0.999 }
        : stroke.kind === 'low'
          ? { ...right, mayBe: ['C'] }
          : right;
      const rest = { kind: stroke.kind, kindSure: 1, strength: 1, ringMs: 60, ringsOn: null };
      return { at: stroke.at, ...rest, chord };
    });
    const { wrong } = judgePass(expected, heard, { level: 'steady', offset: 0 });
    expect(wrong).toMatchObject([{ bar: 7, heard: 'C', whole: true }]);
  });

  it('lets a low note that the old chord has be a late change', () => {
    const { expected } = expecting('1 1 4 4 1 1 5 1', { bpm: 120 });
    // In bar 3 the low note is one of the old chord's and of the 5's; all else is as it should be.
    const heard = expected.map((stroke): TimedStroke => {
      const asked = stroke.chord.name;
      const isOld = stroke.bar === 2 && stroke.beat === 0;
      const right: HeardChord = { asked, best: asked, isAsked: true, confidence: 0.999 };
      const old: HeardChord = { asked, best: null, isAsked: false, confidence: 0.999, mayBe: ['G', 'D'] };
      return {
        at: stroke.at,
        kind: stroke.kind,
        kindSure: 1,
        strength: 1,
        ringMs: 60,
        ringsOn: null,
        chord: isOld ? old : right,
      };
    });
    const { changes, wrong } = judgePass(expected, heard, { level: 'steady', offset: 0 });
    expect(changes.find(({ to }) => to === '4')).toMatchObject({ late: 1, bars: [2], withOldChord: 1 });
    expect(wrong).toStrictEqual([]);
  });
});
