import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Chart } from '../../../src/chart/chart.js';
import { readChart } from '../../../src/chart/read.js';
import { type PlayedNote, playedTune } from '../../../src/chart/tune/play-tune.js';
import { partsOf, partsPerQuarter } from '../../../src/chart/tune/tune.js';
import { unroll } from '../../../src/chart/unroll.js';
import { writeChart } from '../../../src/chart/write.js';
import { fitsTune, notesUnder } from '../../../src/shed/dictation/fits.js';
import { dictationLevels, levelOf } from '../../../src/shed/dictation/levels.js';
import { makeTune, tuneRange } from '../../../src/shed/dictation/make-tune.js';
import { makePhrase } from '../../../src/shed/dictation/phrase.js';
import { phraseChart } from '../../../src/shed/dictation/phrase-chart.js';
import { questionsOf } from '../../../src/shed/dictation/questions.js';
import { askedKeys, cadenceBars } from '../../../src/shed/dictation/source.js';
import { seeded } from '../../../src/shed/seeded.js';
import { pitchClass } from '../../../src/theory/pitch.js';
import { quality } from '../../../src/theory/quality.js';

const none = { weights: new Map<string, number>(), wanted: [], seen: new Set<string>() };
const beat = partsPerQuarter;

interface Made {
  readonly chart: Chart;
  readonly bars: ReturnType<typeof unroll>['bars'];
  readonly notes: readonly PlayedNote[];
}

/** A phrase of a level with a tune, as it sounds. */
function made(place: number, seed: number, keyAt = 0): Made {
  const level = levelOf(place);
  const keys = askedKeys[level.mode];
  const key = keys[keyAt % keys.length] ?? { tonic: 'G', mode: level.mode };
  const phrase = makePhrase(level, seeded(seed), none);
  const plain = phraseChart(phrase, key, level, 120);
  const chart = { ...plain, tune: [makeTune(phrase, key, 'phrase', seeded(seed + 1))] };
  const { bars } = unroll(chart);
  return { chart, bars, notes: playedTune(chart, bars, { home: chart.key }) };
}

const some = fc.tuple(
  fc.integer({ min: 0, max: dictationLevels.length - 1 }),
  fc.integer({ min: 0, max: 1e9 }),
  fc.integer({ min: 0, max: 7 }),
);

/** The notes of the chord that sounds so many parts into a bar, as pitch classes. */
function chordAt({ bars }: Made, bar: number, at: number): readonly number[] {
  const chord = bars[bar]?.cells.findLast((cell) => cell.at <= at / beat + 1e-9)?.chord;
  if (!chord) return [];
  return quality(chord.quality).steps.map((step) => (pitchClass(chord.root) + step) % 12);
}

/** Half steps from each note to the next, breath by breath. */
function moves({ notes }: Made): number[][] {
  const runs: number[][] = [[]];
  notes.slice(1).forEach((note, index) => {
    const before = notes[index] as PlayedNote;
    const end = before.bar * 4 * beat + before.at + before.parts;
    if (end === note.bar * 4 * beat + note.at) runs.at(-1)?.push(note.pitch - before.pitch);
    else runs.push([]);
  });
  return runs;
}

describe('a tune over a phrase', () => {
  test('has a note of the chord on every felt beat on which it sounds, struck or held', () => {
    fc.assert(
      fc.property(some, (from) => {
        const tune = made(...from);
        for (const { bar, at, parts, pitch } of tune.notes)
          for (let place = Math.ceil(at / beat) * beat; place < at + parts; place += beat)
            expect(chordAt(tune, bar, place)).toContain(pitch % 12);
      }),
    );
  });

  test('fills its bars, keeps silent in the cadence, and strikes a note with every change', () => {
    fc.assert(
      fc.property(some, (from) => {
        const { chart, bars, notes } = made(...from);
        const [tune] = chart.tune ?? [];
        expect(tune?.bars).toHaveLength(bars.length - cadenceBars);
        for (const bar of tune?.bars ?? []) expect(partsOf(bar.notes)).toBe(4 * beat);
        expect(notes.every(({ bar }) => bar >= cadenceBars)).toBe(true);
        const struck = new Set(notes.map(({ bar, at }) => 4 * bar + at / beat));
        for (const { at } of questionsOf(bars, cadenceBars)) expect(struck).toContain(at);
      }),
    );
  });

  test('can be sung: within a tenth, by steps mostly, and a leap of a fifth at most turns back', () => {
    fc.assert(
      fc.property(some, (from) => {
        const tune = made(...from);
        for (const { pitch } of tune.notes) {
          expect(pitch).toBeGreaterThanOrEqual(tuneRange.low);
          expect(pitch).toBeLessThanOrEqual(tuneRange.high);
        }
        const runs = moves(tune);
        const all = runs.flat();
        expect(all.filter((by) => Math.abs(by) <= 2).length).toBeGreaterThan(all.length / 2);
        // The same note again is no tune either.
        expect(all.filter((by) => by === 0).length).toBeLessThan(all.length / 3);
        for (const by of all) expect(Math.abs(by)).toBeLessThanOrEqual(7);
        for (const run of runs)
          run.slice(1).forEach((by, index) => {
            const before = run[index] as number;
            if (Math.abs(before) < 5) return;
            expect(Math.sign(by)).toBe(-Math.sign(before));
            expect(Math.abs(by)).toBeLessThanOrEqual(4);
          });
      }),
    );
  });

  test('breathes at the end of each four bars, and ends on the root', () => {
    fc.assert(
      fc.property(some, (from) => {
        const tune = made(...from);
        const bars = tune.chart.tune?.[0]?.bars ?? [];
        bars.forEach((bar, at) => {
          if (at % 4 === 3) expect(bar.notes.at(-1)).toMatchObject({ pitch: null, parts: beat });
          else expect(bar.notes.every(({ pitch }) => pitch !== null)).toBe(true);
        });
        const last = tune.notes.at(-1) as PlayedNote;
        expect(chordAt(tune, last.bar, 0)[0]).toBe(last.pitch % 12);
        expect(last.parts).toBe(3 * beat);
      }),
    );
  });

  test('is the same by the same seed, and another one by another', () => {
    const tunes = Array.from({ length: 40 }, (_, seed) => made(1, seed).notes);
    tunes.forEach((notes, seed) => {
      expect(made(1, seed).notes).toEqual(notes);
    });
    const steps = tunes.map((notes) => notes.map(({ pitch, at }) => `${pitch} ${at}`).join());
    expect(new Set(steps).size).toBe(40);
  });

  test('fits the chords that sound, and tells a change by notes that the chord before has not', () => {
    let [asked, clear] = [0, 0];
    for (let seed = 0; seed < 30; seed += 1)
      for (const place of dictationLevels.keys()) {
        const { chart, bars } = made(place, seed, seed);
        const questions = questionsOf(bars, cadenceBars);
        const under = notesUnder(chart, bars, questions);
        questions.forEach(({ from, to }, at) => {
          expect(fitsTune(to, to, under[at] ?? [])).toBe(true);
          asked += 1;
          if (!fitsTune(from, to, under[at] ?? [])) clear += 1;
        });
      }
    expect(clear / asked).toBeGreaterThan(0.8);
  });

  test('is written and read as any tune of a chart', () => {
    fc.assert(
      fc.property(some, (from) => {
        const { chart } = made(...from);
        const read = readChart(new TextEncoder().encode(writeChart(chart)));
        expect(read.ok && read.faults).toEqual([]);
        expect(read.ok && read.value.tune).toEqual(chart.tune);
      }),
      { numRuns: 40 },
    );
  });
});
