import { describe, expect, it } from 'vitest';
import type { Finger, Fingering } from '../../src/hand/fingering.js';
import { fingeringsOf } from '../../src/hand/fingerings.js';
import { type Fret, fingerPlace, type Instrument, instruments } from '../../src/hand/instrument.js';
import { type Motion, motion } from '../../src/hand/motion.js';
import { motionCosts } from '../../src/hand/motion-cost.js';
import { usualHand } from '../../src/hand/player-hand.js';
import { travelMs, usualPrices } from '../../src/hand/prices.js';
import { voicings } from '../../src/hand/voicing.js';
import { chord } from '../theory/reading.js';

/** Where a finger waits that is in the air: 14 mm a finger from those that are down, in the middle of their courses. */
function resting(
  from: Fingering,
  finger: Finger,
  instrument: Instrument,
): { along: number; across: number } | null {
  const down = ([1, 2, 3, 4] as const).flatMap((one) => {
    const course = from.fingers.indexOf(one);
    return course < 0 ? [] : [{ one, course, along: fingerPlace(instrument, from.frets[course] as Fret) }];
  });
  if (down.length === 0) return null;
  const mean = (list: number[]): number => list.reduce((sum, value) => sum + value, 0) / list.length;
  return {
    along: mean(down.map(({ one, along }) => along - (one - 1) * 14)) + (finger - 1) * 14,
    across: mean(down.map(({ course }) => course * instrument.spacing)),
  };
}

/** The price of a motion from its moves, as they are told to a player: nothing is kept from one to the next. */
function priceOf({ from, to, planted, moves, lifts, lands }: Motion, instrument: Instrument): number {
  const times = new Map<string, number>();
  for (const { frets, courses, millimetres } of moves) {
    const name = `${frets} ${courses}`;
    times.set(name, Math.max(times.get(name) ?? 0, travelMs(millimetres, usualPrices)));
  }
  for (const finger of planted) {
    const [was, is] = [from, to].map(({ fingers }) =>
      [fingers.indexOf(finger), fingers.lastIndexOf(finger)].join(),
    );
    if (was !== is) times.set(`roll ${finger}`, usualPrices.land);
  }
  const [shift] = planted.length === 0 ? moves : [];
  const low = Math.min(...from.frets.filter((at) => at !== null && at > 0).map(Number));
  // Where no finger stays and none moves, those in the air do all the way by themselves.
  const share = planted.length === 0 && moves.length === 0 ? 1 : usualPrices.further;
  for (const { finger, course } of lands) {
    const rest = resting(from, finger, instrument);
    if (!rest) continue;
    const carried = shift
      ? fingerPlace(instrument, Math.max(1, low + shift.frets) as Fret) - fingerPlace(instrument, low as Fret)
      : 0;
    const along = fingerPlace(instrument, to.frets[course] as Fret) - rest.along - carried;
    const across = (course - (shift?.courses ?? 0)) * instrument.spacing - rest.across;
    times.set(`land ${finger}`, usualPrices.land + share * travelMs(Math.hypot(along, across), usualPrices));
  }
  const list = [...times.values()];
  const slowest = Math.max(0, ...list);
  const others = list.reduce((sum, time) => sum + time, 0) - slowest;
  return Math.round(slowest + usualPrices.further * others + usualPrices.lift * lifts.length);
}

describe('motionCosts', () => {
  it.each(instruments.map((instrument) => [instrument.id, instrument] as const))(
    'prices every motion between two chords on the %s as its moves say',
    (_, instrument) => {
      const [from, to] = ['A', 'E7'].map((name) =>
        voicings(chord(name), instrument, { reach: usualHand.spans['14'], highestFret: 12, open: true })
          .flatMap(({ frets }) => fingeringsOf(frets, instrument, usualHand))
          .filter((__, index) => index % 4 === 0),
      ) as [Fingering[], Fingering[]];
      expect(Math.min(from.length, to.length)).toBeGreaterThan(10);
      const costs = motionCosts(instrument, usualPrices);
      const table = costs.table(costs.stances(from), costs.stances(to));
      const expected = from.flatMap((one) =>
        to.map((other) => priceOf(motion(one, other, instrument), instrument)),
      );
      expect([...table]).toStrictEqual(expected);
      expect(motion(from[0] as Fingering, to[1] as Fingering, instrument).ms).toBe(expected[1]);
    },
  );
});
