import { describe, expect, it, vi } from 'vitest';
import { heardBeside, type OwnScene, roundTrip } from './own-stage.js';

// Half a minute of sound is listened to in some of these.
vi.setConfig({ testTimeout: 90_000 });

// 1.5 s a bar, one counted in.
const scene = { chart: '1 4 5 1 4 1', seconds: 12.5 };
const bars = 6;
const barMs = 1500;
const known = { ms: roundTrip, headphones: false };
/** The third bar of the chart and the fourth. */
const rests = (at: number) => at > 3 * barMs - 100 && at < 5 * barMs - 100;
const hasRest = (bar: number) => bar === 2 || bar === 3;

describe.each<[string, OwnScene['calibrated']]>([
  ['calibrated', known],
  ['not calibrated', null],
])('click and bass from a loudspeaker, as loud as the hand, %s', (_, calibrated) => {
  it('leave the verdict as it is without them', () => {
    const one = heardBeside({ ...scene, own: false, calibrated }).verdict;
    const other = heardBeside({ ...scene, own: true, calibrated }).verdict;
    if (!one || !other) throw new Error('no pass was told');
    expect(one.strokes.filter(({ heard }) => heard)).toHaveLength(4 * bars);
    expect([other.result, other.faults]).toStrictEqual([one.result, one.faults]);
    for (const kind of ['low', 'chop'] as const) {
      const mean = one.timing[kind]?.mean ?? Number.NaN;
      expect(Math.abs((other.timing[kind]?.mean ?? Number.NaN) - mean)).toBeLessThan(3);
    }
    // Not calibrated, the count-in is heard until it tells how late that is; it is no part of the pass.
    const begins = (other.strokes[0]?.expected.at ?? Number.NaN) - 50;
    expect(other.extra.filter(({ at }) => at > begins).length).toBeLessThanOrEqual(one.extra.length + 1);
  });

  it('leave no mark where the hand rests', () => {
    const { marks, verdict } = heardBeside({ ...scene, own: true, calibrated, rests });
    expect(marks.filter(({ bar }) => !hasRest(bar)).length).toBeGreaterThanOrEqual(calibrated ? 14 : 0);
    expect(marks.filter(({ bar }) => hasRest(bar))).toStrictEqual([]);
    const heard = verdict?.strokes.filter((one) => hasRest(one.expected.bar) && one.heard);
    expect(heard).toStrictEqual([]);
  });
});

it('are taken for strokes where the hand rests, when the ear is not told of them', () => {
  const { marks } = heardBeside({ ...scene, own: true, calibrated: known, announced: false, rests });
  expect(marks.filter(({ bar }) => hasRest(bar)).length).toBeGreaterThanOrEqual(4);
});
