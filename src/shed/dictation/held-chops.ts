import { type Chart, meterText } from '../../chart/chart.js';
import { unroll } from '../../chart/unroll.js';
import { lowAndChop, type Pattern, strokesIn } from '../../time/pattern.js';

/**
 * The pattern of drills by ear: chops where they usually are, but each is held until the next stroke. A chop is gone within 90 ms, which
 * is too short for its third or its seventh to be told; held it sounds for a beat.
 */
export function heldChops(chart: Chart): Pattern {
  const meters = new Map(
    [chart.meter, ...unroll(chart).bars.map(({ meter }) => meter)].map((one) => [meterText(one), one]),
  );
  return {
    name: 'held-chop',
    says: 'low note and chop, each chop held until the next stroke',
    meters: Object.fromEntries(
      [...meters].map(([name, meter]) => [
        name,
        strokesIn(lowAndChop, meter).map((stroke) =>
          stroke.ending === 'chop' ? { ...stroke, ending: 'choke' as const } : stroke,
        ),
      ]),
    ),
    other: 'basic',
    change: 'choke',
  };
}
