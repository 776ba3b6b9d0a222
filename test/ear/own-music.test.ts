import { describe, expect, it } from 'vitest';
import { usualPeak } from '../listen/noisy.js';
import { performance } from '../listen/performance.js';
import { scored } from '../listen/scored.js';
import { plucked } from '../listen/strings.js';
import { heardScene, ownMusic } from './own-scene.js';

const rate = 44_100;
const bpm = 200;
const offset = 1800;
const played = performance({ bpm, bars: 4, seed: 31, offset, jitter: 10 });
const hand = plucked(played, rate);
const own = ownMusic(bpm, 4, { offset });
const usual = { rate, hand, own, level: usualPeak(hand, rate), late: 61, told: 61 };

/** The hand's strokes as they were heard, scored, and how many were heard while nobody played. */
function judged(scene: Partial<Parameters<typeof heardScene>[0]>) {
  const all = heardScene({ ...usual, ...scene }).strokes.map(({ ms }) => ms);
  const counted = all.filter((ms) => ms < offset - 60);
  return {
    ...scored(
      played.map(({ at }) => at),
      all.filter((ms) => ms >= offset - 60),
    ),
    counted: counted.length,
  };
}

describe('a hand beside click and bass from a loudspeaker, as loud as it is', () => {
  it('is heard as it is without them, when it is told what sounds and how late that is heard', () => {
    const alone = judged({ own: [] });
    const beside = judged({});
    expect(beside.f).toBeGreaterThanOrEqual(0.97);
    expect(beside.p95).toBeLessThan(alone.p95 + 2);
    expect(beside.counted).toBe(0);
    // It would not be, if nothing were told.
    expect(judged({ announced: false }).f).toBeLessThan(0.9);
  });

  it.each([-3, 3, 20])('is so when what it was told is wrong by %i ms', (wrong) => {
    expect(judged({ told: usual.told - wrong }).f).toBeGreaterThanOrEqual(0.97);
  });

  it.each([14, 130, 390])(
    'is so when nobody told that it is heard %i ms late, once a count-in has been heard',
    (late) => {
      const found = judged({ late, told: null });
      expect(found.missed).toBeLessThanOrEqual(1);
      // Until the count-in was over nothing could be taken out.
      expect(found.extra).toBeLessThanOrEqual(3);
      expect(judged({ late, announced: false, told: late }).extra).toBeGreaterThan(late > 100 ? 8 : -1);
    },
  );

  it('is heard as before when the loudspeaker is off', () => {
    const off = judged({ level: 0, told: null });
    expect([off.missed, off.extra]).toStrictEqual([0, 0]);
  });
});

it('hears none where nobody plays, while click and bass go on', () => {
  const { strokes } = heardScene({ ...usual, hand: new Float32Array(hand.length) });
  expect(strokes).toStrictEqual([]);
});
