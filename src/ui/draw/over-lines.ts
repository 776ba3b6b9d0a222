import { safeText } from '../../base/safe-text.js';
import { indentedLines } from '../../base/text-columns.js';
import type { PlayedBar } from '../../chart/chart.js';
import { timeMarksAt } from '../../chart/label.js';
import { barMarks } from './bar.js';
import { type ChartRow, type Layout, type Slot, slotBar } from './layout.js';
import { fitLine, type Line, lineWidth, padText, piece, type Style, textWidth } from './line.js';

/** What is over a line of the chart is found from these: the bars, their places, and the columns there are. */
export interface OverView {
  readonly bars: readonly PlayedBar[];
  readonly unicode: boolean;
  /** Whether the words of phrases are shown. */
  readonly words: boolean;
  readonly layout: Layout;
  /** Columns before the first bar, of the whole line, and of a bar of this row. */
  readonly gutter: number;
  readonly width: number;
  readonly barWidth: (row: ChartRow) => number;
  /** An ending that begins with a bar, as it is written over it; empty where none does. */
  readonly ending: (slot: Slot) => string;
}

/** Texts over one bar, and the column they begin at. */
interface Block {
  readonly column: number;
  readonly texts: readonly string[];
  readonly style: Style;
}

/**
 * The lines over a row at a bar: words of the phrases that begin in it, below them cues and what changes. `here` is the place of
 * that bar among those of the row, -1 where it is on another.
 */
export function overLines(view: OverView, row: ChartRow, bar: number, here: number): readonly Line[] {
  return overBlocks(view, row, bar, here).flatMap((blocks) => besideEachOther(blocks, view.width));
}

/** Words, and below them marks. */
function overBlocks(view: OverView, row: ChartRow, bar: number, here: number): readonly (readonly Block[])[] {
  // Where a row is drawn once for each time it is played, words that have begun stay until the row ends.
  const shown = row.slots.map((slot, place) =>
    place <= here ? (slot.times.findLast((time) => time <= bar) ?? -1) : slotBar(slot, bar),
  );
  return [wordBlocks(view, row, shown), markBlocks(view, row, shown)];
}

function heightOf(blocks: readonly Block[]): number {
  return blocks.reduce((most, { texts }) => Math.max(most, texts.length), 0);
}

/** At most this many of these lines; an ellipsis at the end of the last one says that there are more. */
export function cutOver(lines: readonly Line[], most: number, width: number): readonly Line[] {
  if (lines.length <= most) return lines;
  if (most <= 0) return [];
  const last = trimmedLine(lines[most - 1] ?? []);
  // Where it is cut, its own ellipsis says so.
  const sign = lineWidth(last) <= width - 2 ? [piece(' …', 'cue')] : [];
  return [...lines.slice(0, most - 1), [...fitLine(last, width - 2), ...sign]];
}

/** A line without the spaces at its end. */
function trimmedLine(line: Line): Line {
  const end = line.findLastIndex(({ text }) => text.trim() !== '');
  return line
    .slice(0, end + 1)
    .map((one, index) => (index === end ? { ...one, text: one.text.trimEnd() } : one));
}

/** How many lines a row can have over it, whenever it is played. */
export function mostOver(view: OverView, row: ChartRow): number {
  const times = row.slots.flatMap(({ times }) => times.filter((bar) => saysMore(view.bars[bar])));
  // In the written form a row stands for each time it is played, with the words of that time.
  const height = (bar: number): number =>
    overBlocks(view, row, bar, -1).reduce((sum, blocks) => sum + heightOf(blocks), 0);
  return times.reduce((most, bar) => Math.max(most, height(bar)), 0);
}

/** Whether a row wants more than one line for what is over it, or more room than a bar's where `narrow`. */
export function wantsLines(view: OverView, row: ChartRow, narrow: boolean): boolean {
  const room = view.barWidth(row) - 1;
  return row.slots.some(({ times }, place) =>
    times.some((index) => {
      const bar = view.bars[index];
      if (bar === undefined || !saysMore(bar)) return false;
      if (bar.words !== undefined && view.words) return true;
      const [cue = ''] = bar.cues;
      const wide = narrow ? room : view.width - view.gutter - place * (room + 1);
      if (bar.cues.length > 0 && timeMarksAt(view.bars, index).length > 0) return true;
      return bar.cues.length > 1 || textWidth(cue) + 2 > wide;
    }),
  );
}

function saysMore(bar: PlayedBar | undefined): boolean {
  return bar !== undefined && (bar.words !== undefined || bar.cues.length > 0);
}

function wordBlocks(view: OverView, row: ChartRow, shown: readonly number[]): readonly Block[] {
  if (!view.words) return [];
  const texts = row.slots.map((_, place) => view.bars[shown[place] ?? -1]?.words ?? []);
  return blocks(view, row, texts, 'plain');
}

function markBlocks(view: OverView, row: ChartRow, shown: readonly number[]): readonly Block[] {
  const texts = row.slots.map((slot, place) => {
    const index = shown[place] ?? -1;
    const bar = view.bars[index] ?? slot.unplayed;
    if (!bar) return [];
    const [open, close] = view.unicode ? ['“', '”'] : ['"', '"'];
    const changes = barMarks({ ...bar, cues: [] }, view.bars[index - 1], view.unicode);
    const [first, ...more] = bar.cues.map((cue) => `${open}${cue}${close}`);
    const before = [view.ending(slot), first ?? '', more.length === 0 ? changes : ''];
    const after = more.length === 0 ? [] : [...more, changes];
    // A cue is heard, a remark on the time is acted on: they must not run into each other.
    const time = timeMarksAt(view.bars, index).join(' ');
    return [before.filter((one) => one !== '').join(' '), ...after, time].filter((one) => one !== '');
  });
  return blocks(view, row, texts, 'cue');
}

/** Texts over bars, each wrapped to the room up to the next bar that has some, the last one's to the line's end. */
function blocks(
  { gutter, width, barWidth }: OverView,
  row: ChartRow,
  texts: readonly (readonly string[])[],
  style: Style,
): readonly Block[] {
  const each = barWidth(row);
  const places = texts.flatMap((own, place) => (own.length > 0 ? [place] : []));
  return places.map((place, index) => {
    const next = places[index + 1];
    const column = gutter + place * each;
    const room = (next === undefined ? width : gutter + next * each) - column - 1;
    return { column, style, texts: wrappedOnce(texts[place] ?? [], Math.max(1, room)) };
  });
}

/* Words are wrapped once for each width, not once a frame. */
const known = new WeakMap<readonly string[], Map<number, readonly string[]>>();

function wrappedOnce(texts: readonly string[], room: number): readonly string[] {
  const widths = known.get(texts) ?? new Map<number, readonly string[]>();
  known.set(texts, widths);
  const lines = widths.get(room) ?? wrapped(texts, room);
  widths.set(room, lines);
  return lines;
}

/** Texts made fit for the screen, each on its lines. */
function wrapped(texts: readonly string[], room: number): readonly string[] {
  return texts.flatMap((text) => indentedLines(safeText(text), room));
}

/** Blocks side by side, ending with the same line: what is said last stands right over its bar. */
function besideEachOther(all: readonly Block[], width: number): readonly Line[] {
  const height = heightOf(all);
  return Array.from({ length: height }, (_, down) => {
    let column = 0;
    const line = all.flatMap(({ column: at, texts, style }, index) => {
      const text = texts[down - (height - texts.length)] ?? '';
      const end = (all[index + 1]?.column ?? width) - 1;
      const pieces = [piece(' '.repeat(Math.max(0, at - column))), piece(padText(text, end - at), style)];
      column = end;
      return pieces;
    });
    return line;
  });
}
