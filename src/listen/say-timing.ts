import type { Estimate } from './estimate.js';
import { justNoticed } from './limits.js';
import type { Said } from './say-chords.js';
import type { Verdict } from './verdict.js';

/** One line on the chops against the beat, and one on the low notes where they stand apart from them. */
export function saidOfTiming({ timing, absolute, faults, limits, runsOff, interval }: Verdict): Said[] {
  const { chop, low } = timing;
  const main = chop ?? low;
  if (!main) return [{ weight: 1, line: 'Too few strokes were heard to say how even they are' }];
  const name = chop ? 'Chops' : 'Low notes';
  const uneven = faults.includes('uneven');
  const spread = `spread ${Math.round(main.spread)} ms`;
  const even = uneven
    ? `uneven (${spread}; up to ${Math.round(limits.spread)} is steady here)`
    : `steady (${spread})`;
  const place = absolute && !runsOff ? `${placeOf(main)}, ` : '';
  const isFault = uneven || faults.includes('ahead') || faults.includes('behind');
  const said: Said[] = [{ weight: isFault ? 75 : 20, line: `${name} ${place}${even}` }];
  if (chop && low) {
    const apart = low.mean - chop.mean;
    // Told only where it is surely there, and more than would be noticed.
    const sure = Math.hypot(low.meanWithin, chop.meanWithin);
    if (Math.abs(apart) - sure > justNoticed(interval))
      said.push({
        weight: 25,
        line: `Low notes come ${Math.round(Math.abs(apart))} ms ${apart > 0 ? 'later' : 'sooner'} than the chops`,
      });
  }
  return said;
}

/** Where strokes fall; what may as well be on the beat is on it. */
function placeOf({ mean, meanWithin }: Estimate): string {
  const ms = Math.round(Math.abs(mean));
  if (ms < 3 || Math.abs(mean) < meanWithin) return 'on the beat';
  return mean < 0 ? `${ms} ms ahead of the beat` : `${ms} ms behind the beat`;
}
