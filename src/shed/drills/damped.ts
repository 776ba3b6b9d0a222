import type { Chart, Item } from '../../chart/chart.js';
import { patternsIn } from '../../time/pattern.js';
import type { Drill } from '../drill.js';
import { barOf, cue, inLines, madeChart } from '../make-chart.js';
import { chordOf } from './chords.js';
import { madeDrill, perLine } from './made.js';

/** The picking hand alone on damped strings: one pattern after the other, switched every `bars` bars. */
export function dampedDrill(base: Chart, bars = 4): Drill {
  const home = chordOf(base.key, 1);
  const fits = patternsIn(base.meter);
  const items = Array.from({ length: bars }, (_, index): Item[] => [
    ...(index === 0 ? [cue('strings damped')] : []),
    barOf([{ chord: home, dots: null }]),
  ]).flat();
  const sections = fits.map(({ name }) => ({
    name: name.replace(/[^a-z]+/g, ' '),
    lines: inLines(items, perLine),
  }));
  const title = `${base.title}, picking hand alone`;
  const chart = madeChart(
    base,
    title,
    sections,
    fits.map(({ name }, index) => ({ section: sections[index]?.name ?? name, pattern: name })),
  );
  return madeDrill('damped', base, title, chart, {
    voices: { bass: false, low: true, chop: true, lead: false },
    ladder: true,
    noHand: true,
  });
}
