import { describe, expect, it } from 'vitest';
import { heardBeside, type OwnScene, roundTrip } from './own-stage.js';

// 1.5 s a bar, one counted in.
const chart = '1 4 5 1 1 4 5 1';
const scene = { chart, seconds: 17 };
const known = { ms: roundTrip, headphones: false };
const barMs = 1500;
/** The third bar of the chart to the fifth. */
const rests = (at: number) => at > 3 * barMs - 100 && at < 6 * barMs - 100;

describe.each<[string, OwnScene['calibrated']]>([
  ['calibrated', known],
  ['not calibrated', null],
])('click and bass from a loudspeaker as loud as the hand, %s', (_, calibrated) => {
  it('leave the verdict as it is without them', () => {
    const [alone, beside] = [false, true].map((own) => heardBeside({ ...scene, own, calibrated }));
    const [one, other] = [alone?.verdict, beside?.verdict];
    if (!one || !other) throw new Error('no pass was told');
    console.log(
      one.result,
      other.result,
      one.faults,
      other.faults,
      one.timing,
      other.timing,
      alone?.marks.length,
      beside?.marks.length,
      one.extra.length,
      other.extra.length,
    );
    expect(one.strokes.length).toBeGreaterThanOrEqual(32);
    expect(other.result).toBe(one.result);
    for (const kind of ['low', 'chop'] as const)
      expect(
        Math.abs((other.timing[kind]?.mean ?? Number.NaN) - (one.timing[kind]?.mean ?? Number.NaN)),
      ).toBeLessThan(3);
  });

  it('leave no mark where the hand rests', () => {
    const { marks, verdict } = heardBeside({ ...scene, own: true, calibrated, rests });
    console.log(
      marks.map(({ bar }) => bar).join(' '),
      verdict?.extra.map(({ at }) => at),
    );
    expect(marks.length).toBeGreaterThan(14);
    expect(marks.filter(({ bar }) => bar >= 2 && bar < 5)).toStrictEqual([]);
    expect(
      verdict?.strokes.filter(({ expected: { bar }, heard }) => bar >= 2 && bar < 5 && heard),
    ).toStrictEqual([]);
  });
});
