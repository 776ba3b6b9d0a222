import type { Chart } from '../../chart/chart.js';
import { unroll } from '../../chart/unroll.js';
import { changesOf } from '../../hand/changes.js';
import type { Drill } from '../drill.js';
import { barOf, inLines, madeChart } from '../make-chart.js';
import { madeDrill, perLine } from './made.js';

/** The order of the chords out of time with the song: beats go on evenly, and each chord waits until the player goes on. */
export function orderDrill(base: Chart): Drill {
  const changes = changesOf(unroll(base).bars);
  const items = changes.map(({ number }) => barOf([{ chord: number, dots: null }]));
  const title = `the order of ${base.title}`;
  return madeDrill(
    'order',
    base,
    title,
    madeChart(base, title, [{ name: 'order', lines: inLines(items, perLine) }], [{ section: 'order' }]),
    {
      waits: true,
      ladder: false,
      // A chord may come with any beat, so none of them is the first of a bar.
      click: { kind: 'every', accents: false, gaps: null },
      // A player who goes on without the pedal must not be shown wrong chords.
      voices: { bass: false, low: false, chop: false, lead: false },
    },
  );
}
