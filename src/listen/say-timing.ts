import type { Estimate } from './estimate.js';
import { justNoticed } from './limits.js';
import type { Said } from './say-chords.js';
import type { Verdict } from './verdict.js';

/** One line on the chops against the beat, and one on the low notes where they stand apart from them. */
export function saidOfTiming(verdict: Verdict): Said[] {
  const { timing, absolute, faults, limits, runsOff, interval } = verdict;
  const { chop, low } = timing;
  const main = chop ?? low;
  if (!main) return [{ weight: 1, line: 'Too few strokes were heard to say how even they are' }];
  const name = chop ? 'Chops' : 'Low notes';
  const uneven = faults.includes('uneven');
  const place = absolute && !runsOff ? `${placeOf(main, verdict)}, ` : '';
  const isFault = uneven || faults.includes('ahead') || faults.includes('behind');
  const said: Said[] = [
    { weight: isFault ? 75 : 20, line: `${name} ${place}${evennessOf(main, limits.spread, uneven)}` },
  ];
  if (chop && low) {
    const apart = low.mean - chop.mean;
    // Reported only if it is certain, and large enough to be noticed.
    const sure = Math.hypot(low.meanWithin, chop.meanWithin);
    if (Math.abs(apart) - sure > justNoticed(interval))
      said.push({
        weight: 25,
        line: `Low notes come ${Math.round(Math.abs(apart))} ms ${apart > 0 ? 'later' : 'sooner'} than the chops`,
      });
  }
  return said;
}

/** How even strokes are. */
function evennessOf({ spread, count, outside }: Estimate, limit: number, uneven: boolean): string {
  if (!uneven) return `steady (spread ${Math.round(spread)} ms)`;
  const [is, most] = beyond(spread, limit);
  if (spread > limit) return `uneven (spread ${is} ms; up to ${most} is steady here)`;
  return `steady except for ${outside} of ${count + outside}, which are far off`;
}

/** A figure that is more than a limit, and the limit: in whole ms, or in tenths where those would be the same. */
function beyond(figure: number, limit: number): readonly [string, string] {
  if (Math.round(figure) > Math.round(limit)) return [String(Math.round(figure)), String(Math.round(limit))];
  return [(Math.ceil(10 * figure) / 10).toFixed(1), (Math.floor(10 * limit) / 10).toFixed(1)];
}

/** Where strokes fall, and where they may where that is a fault; what may as well be on the beat is on it. */
function placeOf({ mean, meanWithin }: Estimate, { faults, limits }: Verdict): string {
  const side = faults.includes('ahead') ? 'ahead' : faults.includes('behind') ? 'behind' : null;
  if (side) {
    const [is, most] = beyond(Math.abs(mean), limits[side]);
    return `${is} ms ${side === 'ahead' ? 'ahead of' : 'behind'} the beat (up to ${most} is no fault)`;
  }
  const ms = Math.round(Math.abs(mean));
  if (ms < 3 || Math.abs(mean) < meanWithin) return 'on the beat';
  return mean < 0 ? `${ms} ms ahead of the beat` : `${ms} ms behind the beat`;
}
