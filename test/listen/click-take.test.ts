import { describe, expect, it } from 'vitest';
import { clickBeat, findClicks } from '../../src/listen/find-clicks.js';
import { OwnSounds } from '../../src/listen/own-sounds.js';
import { woodBlock } from '../../src/player/synth/wood-block.js';
import { chartTake } from './chart-take.js';
import { mixIn, usualPeak } from './noisy.js';
import { demoPlan, heardIn, judgedTake, recording } from './recording.js';
import { instruments, rate, renderable, rendered } from './rendered.js';

describe.runIf(renderable() === null)('a recording with the click of the program as loud as the hand', () => {
  const share = 0.8;
  const start = 2000;
  const jitter = 10;
  const sounds = { accented: woodBlock(rate, true), plain: woodBlock(rate, false) };

  it('is judged by the hand, whether or not the tempo was told', { timeout: 60_000 }, () => {
    const plan = demoPlan('half-a-mile-of-fog', 10);
    const beat = 60 / (plan.bpm * share);
    const played = chartTake(plan.expected, { seed: 6, jitter, timeOf: (place) => start + place / share });
    const mixed = rendered(played, instruments.mandolin).map((sample) => 0.5 * sample);
    const level = usualPeak(mixed, rate) / 0.73;
    for (let nth = -4; nth < 40; nth += 1)
      mixIn(
        mixed,
        nth % 4 === 0 ? sounds.accented : sounds.plain,
        Math.round((start / 1000 + nth * beat) * rate),
        level,
      );
    const wav = recording(mixed, rate);
    const onsets = heardIn(wav).map(({ sample }) => sample);
    // What is heard at the beat is the click: more even than any hand.
    expect(judgedTake(wav, plan).passes[0]?.verdict.timing.chop?.spread).toBeLessThan(2);
    const found = clickBeat(wav, onsets, sounds);
    expect(Math.abs((found ?? 0) / beat - 1)).toBeLessThan(2e-6);
    for (const [told, slowness] of [
      [found, null],
      [beat, 1 / share],
    ] as const) {
      const own = new OwnSounds(rate, sounds);
      for (const click of findClicks(wav, onsets, told ?? 0, sounds)) own.expect({ ...click, level: 1 });
      const [pass] = judgedTake(wav, plan, { slowness, own }).passes;
      const { timing, strokes, extra, wrong } = pass?.verdict ?? {};
      expect(Math.abs((timing?.chop?.spread ?? 0) - jitter)).toBeLessThan(4);
      expect(strokes?.filter(({ heard }) => heard).length).toBeGreaterThan(0.95 * played.length);
      expect(extra?.length).toBeLessThanOrEqual(1);
      expect(wrong).toEqual([]);
    }
  });
});
