import type { Chart } from '../../chart/chart.js';
import { numberLabel } from '../../chart/label.js';
import { hardChanges } from '../../hand/hard-changes.js';
import type { HandPlan } from '../../hand/plan.js';
import { type NumberChord, numberText } from '../../theory/number.js';
import type { Drill } from '../drill.js';
import { barOf, inLines, madeChart } from '../make-chart.js';
import { madeDrill, perLine } from './made.js';

/** Two chords of a chart in alternation, `bars` bars each, `times` times. */
export function pairDrill(base: Chart, from: NumberChord, to: NumberChord, bars = 1, times = 4): Drill {
  const one = Array.from({ length: bars }, () => barOf([{ chord: from, dots: null }]));
  const other = Array.from({ length: bars }, () => barOf([{ chord: to, dots: null }]));
  const items = Array.from({ length: times }, () => [...one, ...other]).flat();
  const name = `${numberLabel(from, false)} and ${numberLabel(to, false)}`;
  const title = `${name} of ${base.title}`;
  return madeDrill(
    'pair',
    base,
    title,
    madeChart(base, title, [{ name: 'pair', lines: inLines(items, perLine) }], [{ section: 'pair' }]),
  );
}

/** The pairs of a plan between which the hand moves, easy ones first, each way counting once. */
export function pairsOf(plan: HandPlan): readonly (readonly [NumberChord, NumberChord])[] {
  const seen = new Set<string>();
  return [...hardChanges(plan)].reverse().flatMap(({ from, to }) => {
    const name = [numberText(from.number), numberText(to.number)].sort().join(' ');
    if (seen.has(name)) return [];
    seen.add(name);
    return [[from.number, to.number] as const];
  });
}

/** A round of all pairs of a chart, from easy to hard, each `times` times. */
export function pairsDrill(base: Chart, plan: HandPlan, times = 2): Drill | null {
  const pairs = pairsOf(plan);
  if (pairs.length === 0) return null;
  const sections = pairs.map(([from, to], index) => {
    const bars = [from, to].map((chord) => barOf([{ chord, dots: null }]));
    const items = Array.from({ length: times }, () => bars).flat();
    return { name: `pair ${index + 1}`, lines: inLines(items, perLine) };
  });
  const title = `pairs of ${base.title}`;
  return madeDrill(
    'pairs',
    base,
    title,
    madeChart(
      base,
      title,
      sections,
      sections.map(({ name }) => ({ section: name })),
    ),
  );
}
