import type { Chart } from '../../chart/chart.js';
import { keyName } from '../../theory/key.js';
import type { ClickStage } from '../../time/click.js';
import type { Drill } from '../drill.js';
import { barOf, cue, inLines, madeChart } from '../make-chart.js';
import { chordOf } from './chords.js';
import { madeDrill, perLine } from './made.js';

/** One step of steady time: what clicks for this many bars. */
interface Step extends Omit<ClickStage, 'from'> {
  readonly name: string;
  readonly says: string;
}

/** Bars of each step: the longest silence and as many bars with a click before it. */
const barsEach = 8;

const steps: readonly Step[] = [
  { name: 'every beat', says: 'a click on every beat', kind: 'every', gaps: null },
  { name: 'backbeat', says: 'a click where the chops fall', kind: 'backbeat', gaps: null },
  { name: 'once a bar', says: 'a click once a bar', kind: 'first', gaps: null },
  {
    name: 'once in two bars',
    says: 'a click once in two bars',
    kind: 'first',
    gaps: { heard: 1, silent: 1 },
  },
  { name: 'one bar silent', says: 'every fourth bar silent', kind: 'every', gaps: { heard: 3, silent: 1 } },
  { name: 'two bars silent', says: 'two bars silent in four', kind: 'every', gaps: { heard: 2, silent: 2 } },
  { name: 'four bars silent', says: 'four bars silent', kind: 'every', gaps: { heard: 4, silent: 4 } },
];

/**
 * Steady time on one shape: less and less click, step by step, down to four bars of silence. After each silence the click is
 * there again on the first beat, and tells whether the time was kept. In the chart's meter and tempo, and nothing else sounds.
 */
export function steadyDrill(base: Chart): Drill {
  const home = chordOf(base.key, 1);
  const title = `steady time in ${keyName(base.key)}`;
  const sections = steps.map(({ name, says }) => ({
    name,
    lines: inLines(
      [cue(says), ...Array.from({ length: barsEach }, () => barOf([{ chord: home, dots: null }]))],
      perLine,
    ),
  }));
  const chart = madeChart(
    base,
    title,
    sections,
    sections.map(({ name }) => ({ section: name })),
  );
  return madeDrill('steady', base, title, chart, {
    share: 0.8,
    ladder: false,
    voices: { bass: false, low: false, chop: false, lead: false },
    click: {
      kind: 'every',
      gaps: null,
      stages: steps.map(({ kind, gaps }, index) => ({ from: index * barsEach, kind, gaps })),
    },
  });
}
