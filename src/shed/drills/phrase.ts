import type { Chart, PlayedBar } from '../../chart/chart.js';
import { samePart } from '../../chart/part.js';
import type { Drill } from '../drill.js';
import { inLines, madeChart, meterBefore, writtenBars } from '../make-chart.js';
import { madeDrill, perLine } from './made.js';

/** Bars of a pass, `from` to `to` exclusive, again and again. */
export function phraseDrill(base: Chart, bars: readonly PlayedBar[], from: number, to: number): Drill {
  const phrase = bars.slice(from, to);
  const title = `bars ${from + 1} to ${to} of ${base.title}`;
  const chart = madeChart(
    base,
    title,
    [{ name: 'phrase', lines: inLines(writtenBars(phrase, base.key), perLine) }],
    [{ section: 'phrase', level: phrase[0]?.level ?? null }],
    {
      meter: phrase[0]?.meter ?? base.meter,
    },
  );
  return madeDrill('phrase', base, title, chart);
}

/** Backwards chaining: the last two bars of a stretch, the last four, and so on until all of it stands, each `times` times. */
export function chainDrill(
  base: Chart,
  bars: readonly PlayedBar[],
  from: number,
  to: number,
  times = 2,
): Drill {
  const lengths: number[] = [];
  for (let length = 2; length < to - from; length += 2) lengths.push(length);
  lengths.push(to - from);
  const sections = lengths.map((length) => ({
    name: `last ${length}`,
    lines: inLines(
      writtenBars(bars.slice(to - length, to), base.key, meterBefore(bars.slice(from, to), base.meter)),
      perLine,
    ),
  }));
  const title = `bars ${from + 1} to ${to} of ${base.title}, from the end`;
  return madeDrill(
    'chain',
    base,
    title,
    madeChart(
      base,
      title,
      sections,
      sections.map(({ name }) => ({ section: name, times, level: bars[from]?.level ?? null })),
    ),
  );
}

/** The bars of the section under a bar, half open: what a phrase is when nothing else is said. */
export function phraseAt(bars: readonly PlayedBar[], bar: number): readonly [from: number, to: number] {
  const here = bars[bar];
  const same = (index: number): boolean => {
    const one = bars[index];
    return (
      one !== undefined &&
      here !== undefined &&
      samePart(one, here) &&
      one.source.line === here.source.line &&
      one.source.section === here.source.section
    );
  };
  let from = bar;
  let to = bar + 1;
  while (same(from - 1) && (bars[from - 1]?.source.bar ?? 0) < (bars[from]?.source.bar ?? 0)) from -= 1;
  while (same(to) && (bars[to]?.source.bar ?? 0) > (bars[to - 1]?.source.bar ?? 0)) to += 1;
  return [from, to];
}
