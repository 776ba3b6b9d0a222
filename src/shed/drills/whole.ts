import type { Chart } from '../../chart/chart.js';
import { samePart } from '../../chart/part.js';
import { unroll } from '../../chart/unroll.js';
import { sameKey } from '../../theory/key.js';
import type { Drill } from '../drill.js';
import { inLines, madeChart, meterBefore, writtenBars } from '../make-chart.js';
import { madeDrill, perLine } from './made.js';

/** The whole pass as one section under its own names, for drills that change only how it is played. */
function wholePass(base: Chart, title: string, pattern: string): Chart {
  const bars = unroll(base).bars;
  const moves = bars.some(({ key }) => !sameKey(key, base.key));
  const starts: { name: string; from: number }[] = [];
  bars.forEach((bar, index) => {
    const before = bars[index - 1];
    if (!before || !samePart(before, bar)) starts.push({ name: bar.section, from: index });
  });
  const sections = starts.map(({ from }, index) => ({
    name: `part ${index + 1}`,
    lines: inLines(
      writtenBars(
        bars.slice(from, starts[index + 1]?.from ?? bars.length),
        base.key,
        meterBefore(bars, base.meter),
        moves,
      ),
      perLine,
    ),
  }));
  return madeChart(
    base,
    title,
    sections,
    sections.map(({ name }, index) => ({
      section: name,
      pattern,
      level: bars[starts[index]?.from ?? 0]?.level ?? null,
    })),
    { pattern },
  );
}

/** A single ringing stroke for each chord and silence until the next. */
export function ringDrill(base: Chart): Drill {
  const title = `${base.title}, one stroke a chord`;
  return madeDrill('ring', base, title, wholePass(base, title, 'ring'), {
    voices: { bass: false, low: true, chop: true, lead: false },
  });
}

/** The chart itself, with bars that click and bars that do not. */
export function gapsDrill(base: Chart, heard = 2, silent = 2): Drill {
  const title = `${base.title}, click now and then`;
  return madeDrill(
    'gaps',
    base,
    title,
    { ...base, title },
    {
      click: { kind: 'every', gaps: { heard, silent } },
      voices: { bass: false, lead: false },
      share: 0.9,
    },
  );
}
