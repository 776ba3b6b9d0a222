import type { BarSource, Chart, EndingTimes, Item, PlayedBar } from '../../chart/chart.js';
import type { Level } from '../../chart/level.js';
import { samePart } from '../../chart/part.js';
import { writtenBar } from '../../chart/unroll.js';
import { writtenLines } from '../../chart/written-lines.js';
import type { LayoutKind } from '../state/sight.js';

/** One bar's place on a line. */
export interface Slot {
  /** The bars of the pass that are drawn here, in order; one but in the written form. */
  readonly times: readonly number[];
  /** A bar that this pass never comes to (an ending of the last pass). */
  readonly unplayed: PlayedBar | null;
  /** What is before and after it: `|:`, `:| x3`. */
  readonly before: string;
  readonly after: string;
  /** The ending that begins here: `1st`. */
  readonly ending: string;
}

/** One line of the chart. */
export interface ChartRow {
  /** The section's name on its first line; empty on the others. */
  readonly section: string;
  readonly who: string | null;
  /** How loud its part of the form is, on its first line. */
  readonly level: Level | null;
  readonly slots: readonly Slot[];
}

/** A chart laid out in lines: which line and place a bar of the pass has. */
export interface Layout {
  readonly kind: LayoutKind;
  readonly rows: readonly ChartRow[];
  readonly rowOf: Int32Array;
  readonly slotOf: Int32Array;
}

/** Bars on a line, where the file does not say otherwise. */
export const barsPerRow = 4;

/*
 * Laid out once for each pass, not once a frame: a chart of ten thousand bars then costs a frame what one of thirty
 * costs. The bars are frozen values, so that the memory of them can be a weak one.
 */
const known = new WeakMap<readonly PlayedBar[], Map<string, Layout>>();

/** Lays a pass out; `most` bars fit a line. */
export function layOut(chart: Chart, bars: readonly PlayedBar[], kind: LayoutKind, most: number): Layout {
  const layouts = known.get(bars) ?? new Map<string, Layout>();
  known.set(bars, layouts);
  const name = kind === 'fours' ? kind : `${kind} ${most}`;
  const made = layouts.get(name) ?? indexed(kind, bars.length, rowsOf(chart, bars, kind, most));
  layouts.set(name, made);
  return made;
}

function rowsOf(chart: Chart, bars: readonly PlayedBar[], kind: LayoutKind, most: number): ChartRow[] {
  if (kind === 'written') return writtenRows(chart, bars, most);
  return playedRows(bars, kind === 'fours' ? null : most);
}

function indexed(kind: LayoutKind, count: number, rows: readonly ChartRow[]): Layout {
  const rowOf = new Int32Array(count);
  const slotOf = new Int32Array(count);
  rows.forEach((row, at) => {
    row.slots.forEach((slot, place) => {
      for (const bar of slot.times) {
        rowOf[bar] = at;
        slotOf[bar] = place;
      }
    });
  });
  return { kind, rows, rowOf, slotOf };
}

const bare = { unplayed: null, before: '', after: '', ending: '' } as const;

/** Lines of the pass as it is played: of four bars, or broken as written, where `most` is given. */
function playedRows(bars: readonly PlayedBar[], most: number | null): ChartRow[] {
  const rows: { section: string; who: string | null; level: Level | null; slots: Slot[] }[] = [];
  bars.forEach((bar, index) => {
    const before = bars[index - 1];
    const continues = before !== undefined && samePart(before, bar);
    const last = rows.at(-1);
    const full = most === null ? barsPerRow : most;
    const sameLine = most === null || (before !== undefined && follows(before.source, bar.source));
    if (continues && sameLine && last && last.slots.length < full)
      last.slots.push({ ...bare, times: [index] });
    else
      rows.push({
        section: continues ? '' : bar.section,
        who: continues ? null : bar.who,
        level: continues ? null : bar.level,
        slots: [{ ...bare, times: [index] }],
      });
  });
  return rows;
}

/** Whether a bar is after another on the same written line. */
function follows(before: BarSource, here: BarSource): boolean {
  return before.section === here.section && before.line === here.line && before.bar < here.bar;
}

/** The sections as written, each once, in the order in which the form first comes to them. */
function writtenRows(chart: Chart, bars: readonly PlayedBar[], most: number): ChartRow[] {
  const times = new Map<string, number[]>();
  const order: number[] = [];
  bars.forEach((bar, index) => {
    const name = sourceName(bar.source);
    const list = times.get(name);
    if (list) list.push(index);
    else times.set(name, [index]);
    if (!order.includes(bar.source.section)) order.push(bar.source.section);
  });
  const inKey = { ...chart, key: bars[0]?.key ?? chart.key };
  return order.flatMap((index) => sectionRows(inKey, index, times, most));
}

function sourceName({ section, line, bar }: BarSource): string {
  return `${section} ${line} ${bar}`;
}

type Written = Extract<Item, { kind: 'bar' }>;

function sectionRows(
  chart: Chart,
  index: number,
  times: ReadonlyMap<string, number[]>,
  most: number,
): ChartRow[] {
  const section = chart.sections[index];
  if (!section) return [];
  const rows: ChartRow[] = [];
  writtenLines(section).forEach((items, line) => {
    const slots: Slot[] = [];
    let before = '';
    let ending = '';
    for (const item of items) {
      const last = slots.at(-1);
      if (item.kind === 'bar') {
        const source = { section: index, line, bar: slots.length };
        const played = times.get(sourceName(source)) ?? [];
        const unplayed = played.length > 0 ? null : writtenBar(chart, item as Written, source);
        slots.push({ times: played, unplayed, before, after: '', ending });
        before = '';
        ending = '';
      } else if (item.kind === 'repeat-open') before = '|:';
      else if (item.kind === 'ending-open') ending = endingText(item.times);
      else if (item.kind === 'repeat-close' && last)
        slots[slots.length - 1] = { ...last, after: item.times === null ? ':|' : `:|x${item.times}` };
    }
    for (const part of evenly(slots, most))
      rows.push({ section: rows.length === 0 ? section.name : '', who: null, level: null, slots: part });
  });
  return rows;
}

function endingText(times: EndingTimes): string {
  const names: Readonly<Record<number, string>> = { 1: '1st', 2: '2nd', 3: '3rd' };
  return times === 'last' ? 'last' : times.map((time) => names[time] ?? `${time}th`).join(',');
}

/** A line that is too long for the screen in parts as equal as can be. */
function evenly<T>(list: readonly T[], most: number): T[][] {
  const parts = Math.ceil(list.length / most);
  const size = Math.ceil(list.length / Math.max(1, parts));
  return Array.from({ length: parts }, (_, index) => list.slice(index * size, (index + 1) * size));
}

/** Of the bars drawn in a place, the one that stands for them when the music is at `bar`: the next of them to come. */
export function slotBar(slot: Slot, bar: number): number {
  const { times } = slot;
  if (times.length <= 1) return times[0] ?? -1;
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] as number) < bar) low = middle + 1;
    else high = middle;
  }
  return times[low] ?? (times.at(-1) as number);
}

/** The line that is played after the one a bar is in; the same one where it comes again. */
export function comingRow(
  layout: Layout,
  bar: number,
  range: { readonly from: number; readonly to: number },
  endless: boolean,
): number | null {
  let at = bar;
  for (let step = 0; step < 64; step += 1) {
    const next = at + 1 < range.to ? at + 1 : endless ? range.from : -1;
    if (next < 0) return null;
    const leaves = layout.rowOf[next] !== layout.rowOf[bar];
    if (leaves || (layout.slotOf[next] as number) <= (layout.slotOf[at] as number))
      return layout.rowOf[next] as number;
    at = next;
  }
  return null;
}

/** The entries of the form with their bars, `to` exclusive: what the strip shows. */
export interface FormPart {
  readonly section: string;
  readonly who: string | null;
  readonly level: Level | null;
  readonly from: number;
  readonly to: number;
}

const knownParts = new WeakMap<readonly PlayedBar[], readonly FormPart[]>();

/** The form of a pass: each time a section is played is a part of it. */
export function formParts(bars: readonly PlayedBar[]): readonly FormPart[] {
  const before = knownParts.get(bars);
  if (before) return before;
  const parts: { -readonly [Name in keyof FormPart]: FormPart[Name] }[] = [];
  bars.forEach((bar, index) => {
    const previous = bars[index - 1];
    if (previous && samePart(previous, bar)) (parts.at(-1) as { to: number }).to = index + 1;
    else parts.push({ section: bar.section, who: bar.who, level: bar.level, from: index, to: index + 1 });
  });
  knownParts.set(bars, parts);
  return parts;
}

/** The part of the form a bar is in. */
export function partAt(parts: readonly FormPart[], bar: number): number {
  let low = 0;
  let high = parts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((parts[middle] as FormPart).from <= bar) low = middle;
    else high = middle - 1;
  }
  return low;
}
