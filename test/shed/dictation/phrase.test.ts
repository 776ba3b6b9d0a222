import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { unroll } from '../../../src/chart/unroll.js';
import { followers, movesOf } from '../../../src/shed/dictation/grammar.js';
import { dictationLevels, levelOf } from '../../../src/shed/dictation/levels.js';
import { makePhrase, movesIn, type PhraseBars, phraseText } from '../../../src/shed/dictation/phrase.js';
import { phraseChart } from '../../../src/shed/dictation/phrase-chart.js';
import { questionsOf } from '../../../src/shed/dictation/questions.js';
import { cadence, cadenceBars } from '../../../src/shed/dictation/source.js';
import { seeded } from '../../../src/shed/seeded.js';

const none = { weights: new Map<string, number>(), wanted: [], seen: new Set<string>() };
const levels = fc.constantFrom(...dictationLevels);

describe('phrases that are asked for by ear', () => {
  test('have the numbers, the pace and the bars of their level, and move as the grammar has it', () => {
    fc.assert(
      fc.property(levels, fc.integer({ min: 0, max: 1e9 }), (level, seed) => {
        const bars = makePhrase(level, seeded(seed), none);
        expect(bars.length).toBe(level.pace === 'two bars' ? 12 : 8);
        for (const number of bars.flat()) expect(level.numbers).toContain(number);
        expect(bars.some((bar) => bar.length > 1)).toBe(level.pace === 'half');
        const known = movesOf(level).map(([from, to]) => `${from}>${to}`);
        for (const move of movesIn(bars)) expect(known).toContain(move);
        expect(movesIn(bars).length).toBeGreaterThanOrEqual(4);
        // It sets out from home, and its last chord is held for two bars.
        expect(bars[0]).toEqual([level.numbers[0]]);
        expect(bars.at(-1)).toEqual([bars.at(-2)?.at(-1)]);
        expect([level.numbers[0], '5']).toContain(bars.at(-1)?.[0]);
        if (level.brings.length > 0) expect(bars.flat().some((one) => level.brings.includes(one))).toBe(true);
        if (level.pace === 'two bars')
          for (let at = 1; at < bars.length; at += 2) expect(bars[at]).toEqual(bars[at - 1]);
      }),
    );
  });

  test('are charts that read, in every key, after a cadence of which nothing is asked', () => {
    fc.assert(
      fc.property(levels, fc.integer({ min: 0, max: 1e9 }), (level, seed) => {
        const bars = makePhrase(level, seeded(seed), none);
        const chart = phraseChart(bars, { tonic: 'Bb', mode: level.mode }, level, 120);
        const played = unroll(chart).bars;
        expect(played.length).toBe(cadenceBars + bars.length);
        expect(played.every(({ beats }) => beats === 4)).toBe(true);
        const questions = questionsOf(played, cadenceBars);
        expect(questions.map(({ from, to }) => `${from}>${to}`)).toEqual(movesIn(bars));
        for (const { bar, at, until } of questions) {
          expect(bar).toBeGreaterThanOrEqual(cadenceBars);
          // There is a bar for an answer, and where a bar is shared, at least half of one.
          expect(until - at).toBeGreaterThanOrEqual(level.pace === 'half' ? 2 : 4);
        }
      }),
    );
  });

  test('are the same by the same seed, and never again in a sitting', () => {
    fc.assert(
      fc.property(levels, fc.integer({ min: 0, max: 1e9 }), (level, seed) => {
        expect(makePhrase(level, seeded(seed), none)).toEqual(makePhrase(level, seeded(seed), none));
        const seen = new Set<string>();
        for (let at = 0; at < 15; at += 1) {
          const text = phraseText(makePhrase(level, seeded(seed + at), { ...none, seen }));
          expect(seen).not.toContain(text);
          seen.add(text);
        }
      }),
      { numRuns: 40 },
    );
  });

  test('begin again where a level has no others left', () => {
    const level = levelOf(0);
    const seen = new Set<string>();
    const first: PhraseBars[] = [];
    for (let at = 0; at < 200; at += 1) {
      const bars = makePhrase(level, seeded(at), { ...none, seen });
      seen.add(phraseText(bars));
      first.push(bars);
    }
    // Six chords of 1, 4 and 5 from 1 to 1 or 5, none twice in a row: ten ways and eleven, but for 1 5 1 5 1 5.
    expect(seen.size).toBe(20);
    expect(first).toHaveLength(200);
  });

  test('bring what is misheard: each phrase has it, and more of it than else', () => {
    for (const [place, move] of [
      [1, '4>5'],
      [4, '2->5'],
      [7, '6^7>2^7'],
      [9, 'b3>b7'],
    ] as const) {
      const level = levelOf(place);
      const count = (weights: ReadonlyMap<string, number>): number[] =>
        Array.from({ length: 60 }, (_, seed) =>
          movesIn(makePhrase(level, seeded(seed), { weights, wanted: [...weights.keys()], seen: new Set() })),
        ).map((moves) => moves.filter((one) => one === move).length);
      const usual = count(new Map());
      const wanted = count(new Map([[move, 5]]));
      const sum = (list: readonly number[]): number => list.reduce((all, one) => all + one, 0);
      expect(wanted.filter((times) => times === 0).length).toBe(0);
      expect(sum(wanted)).toBeGreaterThan(sum(usual));
    }
  });
});

test('the grammar never leads out of a level, and every number of it can come', () => {
  for (const level of dictationLevels) {
    for (const number of level.numbers) expect(followers(level, number).length).toBeGreaterThan(0);
    const reached = new Set([level.numbers[0] as string]);
    for (let round = 0; round < level.numbers.length; round += 1)
      for (const number of [...reached]) for (const [, to] of followers(level, number)) reached.add(to);
    expect([...reached].sort()).toEqual([...level.numbers].sort());
    for (const number of cadence[level.mode]) expect(level.numbers).toContain(number);
  }
});
