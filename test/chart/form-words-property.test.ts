import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Chart, Item, PlayedBar, Section } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { lineText } from '../../src/chart/write.js';
import { generatedChart } from './generated.js';
import { bytes } from './written.js';

/** A bar of the walk that is spelled out here: what is written, whether its repeat does not come again, and its marks. */
interface Spelled {
  readonly text: string;
  readonly last: boolean;
  readonly marks: readonly string[];
}

const endingsOf = (items: readonly Item[]): readonly number[] =>
  items.flatMap((item) => (item.kind === 'ending-open' && item.times !== 'last' ? item.times : []));

/** The bars of one time through: endings that are not this time's fall away, then marks go onto their bars. */
function timeThrough(
  items: readonly Item[],
  time: number | null,
  final: boolean,
  last: boolean,
): (Spelled | Item)[] {
  const numbers = endingsOf(items);
  const chosen = time === null ? null : Math.max(0, ...numbers.filter((one) => one <= time)) || time;
  let skips = false;
  return items.flatMap((item): (Spelled | Item)[] => {
    if (item.kind === 'ending-open')
      skips = item.times === 'last' ? !final : chosen !== null && !item.times.includes(chosen);
    if (item.kind === 'ending-close') skips = false;
    if (skips) return [];
    if (item.kind === 'bar')
      return [
        { text: lineText({ items: [{ ...item, same: false }], comment: null }, null), last, marks: [] },
      ];
    return item.kind === 'way-mark' ? [item] : [];
  });
}

/** A section's bars, its repeats played: cut at its repeat signs by their places in the list. */
function spell(items: readonly Item[], final: boolean): (Spelled | Item)[] {
  const open = items.findIndex(({ kind }) => kind === 'repeat-open');
  if (open < 0) return timeThrough(items, null, final, true);
  const close = items.findIndex(({ kind }, at) => at > open && kind === 'repeat-close');
  let end = close + 1;
  for (;;) {
    const next = items[end];
    if (next?.kind !== 'ending-open' || next.times === 'last') break;
    end = items.findIndex(({ kind }, at) => at > end && kind === 'ending-close') + 1;
  }
  const front = items.slice(0, open);
  const signed = front.findLast(({ kind }) => kind === 'bar' || kind === 'way-mark');
  // A sign in front of a repeat stands in front of its first bar each time.
  const signs = signed?.kind === 'way-mark' && signed.mark === 'sign' ? [signed] : [];
  const body = items.slice(open + 1, end);
  const sign = items[close];
  const times = (sign?.kind === 'repeat-close' ? sign.times : null) ?? Math.max(2, ...endingsOf(body));
  return [
    ...timeThrough(front, null, final, true).filter((one) => !signs.includes(one as never)),
    ...Array.from({ length: times }, (_, at) =>
      timeThrough([...signs, ...body], at + 1, final && at + 1 === times, at + 1 === times),
    ).flat(),
    ...spell(items.slice(end), final),
  ];
}

function withMarks(list: readonly (Spelled | Item)[]): Spelled[] {
  const isBar = (one: Spelled | Item | undefined): one is Spelled =>
    one !== undefined && 'text' in one && 'last' in one;
  const bars = list.filter(isBar).map((one) => ({ ...one, marks: [...one.marks] }));
  list.forEach((one, at) => {
    if (isBar(one) || one.kind !== 'way-mark') return;
    const before = list.slice(0, at).filter(isBar).length;
    bars[one.mark === 'sign' ? before : before - 1]?.marks.push(one.mark);
  });
  return bars;
}

function spelledSection(chart: Chart, section: Section | undefined, final: boolean): Spelled[] {
  if (!section) return [];
  if (!section.derived)
    return withMarks(
      spell(
        section.lines.flatMap(({ items }) => items),
        final,
      ),
    );
  return section.derived.flatMap(({ of, take }) => {
    if (take.kind === 'own') return withMarks(spell(take.items, final));
    const all = spelledSection(
      chart,
      chart.sections.find(({ name }) => name === of),
      final,
    ).map((one) => ({ ...one, marks: [] }));
    if (take.kind === 'all') return all;
    const part =
      take.kind === 'bars'
        ? all.slice(take.from - 1, take.to)
        : take.kind === 'first'
          ? all.slice(0, take.bars)
          : all.slice(-take.bars);
    return part.map((one) => ({ ...one, last: true }));
  });
}

/** The pass as one would spell it out with a pencil: form words copy what lies after them. */
function walk(chart: Chart, final: boolean): string[] {
  const pass: string[] = [];
  let again: Spelled[] = [];
  for (const [at, { section, times, way }] of chart.form.entries()) {
    if (way) {
      const from = way.from === 'top' ? 0 : again.findLastIndex(({ marks }) => marks.includes('sign'));
      const rest = again.slice(from);
      const mark = way.to === 'coda' ? 'to-coda' : way.to;
      const to = mark === null ? rest.length : rest.findIndex(({ marks }) => marks.includes(mark)) + 1;
      pass.push(...rest.slice(0, to).map(({ text }) => text));
      continue;
    }
    const bars = spelledSection(
      chart,
      chart.sections.find(({ name }) => name === section),
      final,
    );
    for (let time = 0; time < times; time += 1) pass.push(...bars.map(({ text }) => text));
    if (chart.form[at + 1]?.section !== section) again = [...again, ...bars.filter(({ last }) => last)];
  }
  return pass;
}

/** What is written where a played bar comes from. */
function writtenAt(chart: Chart, { source }: PlayedBar): string {
  const section = chart.sections[source.section];
  const piece = section?.derived?.[source.line]?.take;
  const items = piece?.kind === 'own' ? piece.items : (section?.lines[source.line]?.items ?? []);
  const bar = items.filter(({ kind }) => kind === 'bar')[source.bar];
  return bar ? lineText({ items: [{ ...bar, same: false } as Item], comment: null }, null) : '';
}

describe('the pass of any chart', () => {
  it.each([true, false])('is the one that is spelled out by hand (final: %s)', (final) => {
    let withWords = 0;
    fc.assert(
      fc.property(generatedChart, (text) => {
        const reading = readChart(bytes(text));
        if (!reading.ok)
          throw new Error(`${text}\n${reading.faults.map(({ message }) => message).join('\n')}`);
        const { value: chart } = reading;
        const { bars, fault } = unroll(chart, { final });
        expect(fault).toBeNull();
        expect(bars.map((bar) => writtenAt(chart, bar))).toStrictEqual(walk(chart, final));
        const again = bars.filter((bar) => bar.again !== undefined);
        // A form word plays at most what was played before it, each bar as it was then.
        expect(again.length).toBeLessThanOrEqual(bars.length - again.length);
        for (const bar of again)
          expect(
            bars.some(
              ({ source, entry, key, tempo, meter }) =>
                source === bar.source &&
                entry === bar.again &&
                key === bar.key &&
                tempo === bar.tempo &&
                meter === bar.meter,
            ),
          ).toBe(true);
        if (again.length > 0) withWords += 1;
      }),
      { numRuns: 200 },
    );
    expect(withWords).toBeGreaterThan(50);
  });
});
