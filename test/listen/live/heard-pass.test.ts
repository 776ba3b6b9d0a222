import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../../src/chart/read.js';
import { instruments as hands, mandolin } from '../../../src/hand/instrument.js';
import { ChordEar } from '../../../src/listen/chord-ear.js';
import type { ExpectedStroke } from '../../../src/listen/expected.js';
import { HeardPass } from '../../../src/listen/live/heard-pass.js';
import type { PlayedStroke } from '../../../src/listen/live/played-strokes.js';
import { passPlan } from '../../../src/listen/pass-plan.js';
import type { StrokeHeard } from '../../../src/listen/stroke-heard.js';
import { StrokeHearer } from '../../../src/listen/strokes.js';
import { wasChord } from '../../../src/listen/timed-stroke.js';
import { type ArrangeOptions, arrange } from '../../../src/time/arrange.js';
import { chartTake, type TakenStroke } from '../chart-take.js';
import { withNoise } from '../noisy.js';
import { instruments, rate, renderable, rendered } from '../rendered.js';

const around = Math.round(0.11 * rate);

/** The strokes of a demo chart's pass in its own key, up to a bar. */
function strokesOf(demo: string, hand: string, bars: number): readonly ExpectedStroke[] {
  const read = readChart(readFileSync(`charts/${demo}.yaml`));
  if (!read.ok) throw new Error(demo);
  const instrument = hands.find(({ id }) => id === hand) ?? mandolin;
  const options: ArrangeOptions = { key: read.value.key, instrument, share: 1 };
  return passPlan(read.value, arrange(read.value, options), options).expected.filter(({ bar }) => bar < bars);
}

/** What the ear's process would tell of a sound, on a clock that begins with it. */
function strokesIn(samples: Float32Array): StrokeHeard[] {
  const hearer = new StrokeHearer(rate);
  return [...hearer.push(samples), ...hearer.end()].map(({ sample, kind, kindSure, ...heard }) => ({
    ...heard,
    kind: 'stroke',
    sample,
    ms: (1000 * sample) / rate,
    stroke: kind,
    sure: kindSure,
    clip: samples.slice(Math.max(0, Math.round(sample) - around), Math.round(sample) + around),
    attack: Math.min(around, Math.round(sample)),
  }));
}

/** What a pass makes of strokes that were played so. */
function judged(expected: readonly ExpectedStroke[], start: number, heard: readonly StrokeHeard[]) {
  const pass = new HeardPass({
    pass: 1,
    whole: expected,
    beat: 400,
    msPerTick: 1,
    chords: new ChordEar(rate),
    level: 'steady',
    offset: 0,
    near: null,
  });
  expected.forEach((stroke, index) => {
    pass.expect({ ...stroke, pass: 1, index, placed: stroke.tick, at: stroke.at + start } as PlayedStroke);
  });
  for (const stroke of heard) pass.push(stroke);
  return pass.heard;
}

/** Counts of what was made of the strokes of a take: by those that were played. */
function counted(
  expected: readonly ExpectedStroke[],
  played: readonly TakenStroke[],
  heard: ReturnType<typeof judged>,
) {
  const counts = { all: 0, kind: 0, right: 0, unsure: 0, alarms: 0, wrong: 0, noticed: 0 };
  for (const { at, index, kind, played: chord } of played) {
    const one = heard.find((stroke) => Math.abs(stroke.at - at) < 30);
    if (!one) continue;
    const was = wasChord(one, expected[index]?.chord.name ?? '');
    counts.all += 1;
    if (one.kind === kind) counts.kind += 1;
    if (chord === expected[index]?.chord.name) {
      counts.right += 1;
      if (was === null) counts.unsure += 1;
      if (was === false) counts.alarms += 1;
    } else if (kind === 'chop') {
      counts.wrong += 1;
      if (was === false) counts.noticed += 1;
    }
  }
  return counts;
}

const missing = renderable();

describe.runIf(missing === null)('strokes that are played along, and what they were meant for', () => {
  for (const [name, hand, demo] of [
    ['mandolin', 'mandolin', 'copperwort-lane'],
    ['ukulele', 'ukulele', 'copperwort-lane'],
    ['banjo', 'tenor-banjo', 'half-a-mile-of-fog'],
  ] as const)
    it(`are told by both on a ${name}`, () => {
      const expected = strokesOf(demo, hand, 16);
      const start = 700;
      const entries = [...new Set(expected.map(({ entry }) => entry))];
      const other = expected.find(({ chord }) => chord.name !== expected[0]?.chord.name)
        ?.chord as ExpectedStroke['chord'];
      const wrong = new Map(
        entries
          .filter(
            (entry) =>
              entry % 4 === 2 && expected.find((one) => one.entry === entry)?.chord.name !== other.name,
          )
          .map((entry) => [entry, other]),
      );
      const played = chartTake(expected, { seed: 911, timeOf: (place) => start + place, jitter: 10, wrong });
      const samples = withNoise(rendered(played, instruments[name]), 30, 12);
      const result = counted(expected, played, judged(expected, start, strokesIn(samples)));
      expect(result.all).toBeGreaterThan(0.95 * played.length);
      expect(result.kind / result.all).toBeGreaterThan(0.95);
      expect(result.wrong).toBeGreaterThan(3);
      expect(result).toMatchObject({ alarms: 0, noticed: result.wrong });
      expect(result.unsure / result.right).toBeLessThan(0.02);
    });
});
