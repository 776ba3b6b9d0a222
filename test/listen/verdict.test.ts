import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mostByChance, resultOf } from '../../src/listen/clean.js';
import { judgePass } from '../../src/listen/judge-pass.js';
import { cleanLimits, justNoticed, levels } from '../../src/listen/limits.js';
import { say } from '../../src/listen/say.js';
import type { Verdict } from '../../src/listen/verdict.js';
import { verdictJson } from '../../src/listen/verdict-json.js';
import { expecting, song } from './expecting.js';
import { perfectEar, type SimulatedPlayer, simulatedPass, usualEar } from './simulated-player.mjs';

const { expected } = expecting(song, { bpm: 160 });

function judged(
  player: Partial<SimulatedPlayer>,
  { seed = 1, level = 'steady' as const, ear = usualEar, known = true } = {},
): Verdict {
  const { heard } = simulatedPass(expected, { player, ear, seed, offset: known ? 0 : 120 });
  return judgePass(expected, heard, { level, offset: known ? 0 : null });
}
const seeds = Array.from({ length: 60 }, (_, index) => index + 1);

describe('the truth of a verdict', () => {
  it('has the mean and the spread in the stated intervals', () => {
    const inside = (truth: (verdict: Verdict) => boolean): number =>
      seeds.filter((seed) => truth(judged({ mean: -18, spread: 12 }, { seed, ear: perfectEar }))).length /
      seeds.length;
    expect(
      inside(({ timing: { chop } }) => Math.abs((chop?.mean ?? 0) + 18) <= (chop?.meanWithin ?? 0)),
    ).toBeGreaterThanOrEqual(0.9);
    expect(
      inside(({ timing: { chop } }) => (chop?.spreadFrom ?? 99) <= 12 && 12 <= (chop?.spreadTo ?? 0)),
    ).toBeGreaterThanOrEqual(0.9);
  });

  it('knows low notes apart from chops', () => {
    const { timing } = judged({ mean: -5, lowMean: 15, spread: 8 });
    expect(Math.abs((timing.low?.mean ?? 0) - 15)).toBeLessThan(4);
    expect(Math.abs((timing.chop?.mean ?? 0) + 5)).toBeLessThan(4);
    expect(timing.up).toBeNull();
  });

  it('calls no steady lead a fault, and no mean where the offset is not known', () => {
    expect(judged({ mean: -25, spread: 8 }).result).toBe('clean');
    const unknown = judged({ mean: -25, spread: 8 }, { known: false });
    expect([unknown.result, unknown.absolute]).toStrictEqual(['clean', false]);
    expect(Math.abs(unknown.timing.chop?.mean ?? 99)).toBeLessThan(4);
  });

  it.each([
    ['uneven', { spread: 35 }],
    ['ahead', { mean: -70, spread: 8 }],
    ['behind', { mean: 40, spread: 8 }],
    ['ran off', { runFrom: 15_000, runBy: -0.03, spread: 8 }],
    ['late changes', { spread: 8, lateInto: [1, 2, 3, 4, 5].map((entry) => ({ entry, ms: 90 })) }],
    ['late changes', { spread: 8, oldChordAt: [1, 3, 5, 7, 9] }],
    [
      'wrong chords',
      {
        spread: 8,
        wrongAt: new Map([
          [2, 'C'],
          [5, 'G'],
          [7, 'G'],
        ]),
      },
    ],
    ['rang on', { spread: 8, ringsOn: 0.7 }],
    ['left out', { spread: 8, leftOut: 0.25 }],
  ] as [string, Partial<SimulatedPlayer>][])('is not clean: %s', (fault, player) => {
    const { result, faults } = judged(player);
    expect([result, ...faults]).toStrictEqual(['not clean', fault]);
  });

  it('judges nothing of what it did not hear', () => {
    expect(judged({ restBars: [...Array(16).keys()] })).toMatchObject({
      result: 'not heard',
      faults: ['few heard'],
    });
    const rest = judged({ restBars: [8, 9, 10, 11] });
    expect(rest).toMatchObject({ result: 'not heard', faults: ['silence'] });
    expect(rest.silences).toMatchObject([{ from: 8, to: 11 }]);
    expect(rest.strokes.filter(({ expected: { bar } }) => bar === 9).every(({ late }) => late === null)).toBe(
      true,
    );
    expect(judgePass(expected, [], { level: 'job', offset: 0 })).toMatchObject({ result: 'not heard' });
    expect(judgePass([], [], { level: 'job', offset: null })).toMatchObject({ result: 'not heard' });
  });

  it('judges nothing where somebody else plays too', () => {
    const one = simulatedPass(expected, { seed: 1 }).heard;
    const other = simulatedPass(expected, { seed: 2, player: { mean: 160 } }).heard;
    const both = [...one, ...other].sort((first, second) => first.at - second.at);
    expect(judgePass(expected, both, { level: 'steady', offset: 0 })).toMatchObject({
      result: 'not heard',
      faults: ['somebody else'],
    });
  });

  it('finds what was late, wrong and ringing where it was', () => {
    const verdict = judged(
      { spread: 6, lateInto: [{ entry: 3, ms: 80 }], wrongAt: new Map([[6, 'C']]) },
      { ear: perfectEar },
    );
    const at = (entry: number): number => expected.find((one) => one.entry === entry)?.bar ?? -1;
    expect(verdict.changes.filter(({ late }) => late > 0)).toMatchObject([
      { from: '1', to: '5', late: 1, bars: [at(3)] },
    ]);
    expect(Math.abs((verdict.changes[0]?.lateMs ?? 0) - 80)).toBeLessThan(20);
    expect(verdict.wrong).toMatchObject([{ bar: at(6), heard: 'C', whole: true }]);
    expect(verdict.rang).toStrictEqual([]);
  });

  it('decides as the truth says, a quarter within the limits or beyond them', () => {
    for (const level of levels) {
      const { spread } = cleanLimits(level, 375);
      const clean = (share: number): number =>
        seeds.filter((seed) => {
          const { heard } = simulatedPass(expected, { seed, player: { spread: share * spread } });
          return judgePass(expected, heard, { level, offset: 0 }).result === 'clean';
        }).length / seeds.length;
      expect(clean(0.75), level).toBeGreaterThanOrEqual(0.93);
      expect(clean(1.3), level).toBeLessThanOrEqual(0.07);
    }
  });
});

describe('any strokes', () => {
  const stroke = fc.record({
    at: fc.double({ min: -3000, max: 60_000, noNaN: true }),
    kind: fc.constantFrom('low' as const, 'chop' as const, 'up' as const),
    kindSure: fc.double({ min: 0, max: 1, noNaN: true }),
    strength: fc.double({ min: 0, max: 1, noNaN: true }),
    ringMs: fc.option(fc.double({ min: 0, max: 600, noNaN: true })),
    ringsOn: fc.option(fc.integer({ min: 40, max: 90 })),
    chord: fc.option(
      fc.record({
        asked: fc.constantFrom('G', 'C'),
        best: fc.option(fc.constantFrom('G', 'C', 'D', 'E')),
        isAsked: fc.option(fc.boolean()),
        confidence: fc.double({ min: 0.5, max: 1, noNaN: true }),
      }),
    ),
  });

  it('are judged with figures that are numbers, and one to four lines', () => {
    fc.assert(
      fc.property(
        fc.array(stroke, { maxLength: 150 }),
        fc.option(fc.integer({ min: -400, max: 400 })),
        (some, offset) => {
          const heard = some.sort((one, other) => one.at - other.at);
          const verdict = judgePass(expected, heard, { level: 'steady', offset });
          const lines = say(verdict, { bpm: 160 });
          expect(lines.length).toBeGreaterThanOrEqual(1);
          expect(lines.length).toBeLessThanOrEqual(4);
          expect(lines.join()).not.toMatch(/NaN|Infinity|undefined|null/);
          const made = verdictJson(verdict, heard, 0);
          // What is not a number would come back as null.
          expect(JSON.parse(JSON.stringify(made))).toStrictEqual(made);
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('limits', () => {
  // Friberg and Sundberg 1995: 6 ms below an interval of 240 ms, 2.5 % of it above.
  it.each([
    [200, 6],
    [240, 6],
    [500, 12.5],
    [1000, 25],
  ])('notice a displacement at %i ms from %f ms on', (interval, ms) => {
    expect(justNoticed(interval)).toBe(ms);
  });

  it('grow from level to level, and stay below what ensembles are apart', () => {
    const [learning, steady, job] = levels.map((level) => cleanLimits(level, 375));
    expect(job).toMatchObject({ ahead: 30, spread: 15, wrong: 0 });
    expect(
      [learning, steady].every((one) => one && job && one.spread > job.spread && one.ahead > job.ahead),
    ).toBe(true);
    expect(cleanLimits('learning', 1500).spread).toBe(49);
  });
});

describe('resultOf', () => {
  it.each([
    ['clean', null, 'clean'],
    ['not clean', null, 'miss'],
    ['not heard', null, 'unmarked'],
    ['clean', 'miss', 'miss'],
    ['not clean', 'clean', 'clean'],
    ['not heard', 'clean', 'clean'],
  ] as const)('%s, the player says %s: %s', (result, said, counts) => {
    expect(resultOf({ result }, said)).toBe(counts);
  });
});

describe('mostByChance', () => {
  // Poisson's distribution, tabled: P(X ≤ 3) = 0.957 and P(X ≤ 2) = 0.857 for a mean of 1.3; P(X ≤ 0) = 0.951 for 0.05.
  it.each([
    [130, 0.01, 3],
    [5, 0.01, 0],
    [0, 0.01, 0],
  ])('of %i with a share of %f: %i', (count, share, most) => {
    expect(mostByChance(count, share)).toBe(most);
  });
});
