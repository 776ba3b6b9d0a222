import type { Chart, Item } from '../../chart/chart.js';
import { unroll } from '../../chart/unroll.js';
import { changesOf } from '../../hand/changes.js';
import type { Drill } from '../drill.js';
import { barOf, cue, inLines, madeChart } from '../make-chart.js';
import { madeDrill, perLine } from './made.js';

/** The fretting hand alone, a bar a chord, to a click that speeds up. */
export function fretDrill(base: Chart): Drill {
  const changes = changesOf(unroll(base).bars);
  const items = changes.flatMap(({ number }, index): Item[] => [
    ...(index === 0 ? [cue('press on 1, release on 3')] : []),
    barOf([{ chord: number, dots: null }]),
  ]);
  const title = `${base.title}, fretting hand alone`;
  const chart = madeChart(
    base,
    title,
    [{ name: 'shapes', lines: inLines(items, perLine) }],
    [{ section: 'shapes', pattern: 'rest' }],
    { pattern: 'rest' },
  );
  return madeDrill('fret', base, title, chart, {
    share: 0.5,
    ladder: false,
    voices: { bass: false, low: false, chop: false, lead: false },
    ramp: { to: 1.1, bars: Math.max(32, changes.length * 3) },
  });
}
