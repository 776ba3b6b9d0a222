import { safeText } from '../../base/safe-text.js';
import { wrapText } from '../../base/wrap-text.js';
import type { Chart, PlayedBar } from '../../chart/chart.js';
import { timeMarksAt } from '../../chart/label.js';
import type { StrokeMark } from '../state/modes.js';
import type { ChordNames, LayoutKind } from '../state/sight.js';
import type { TuneSight } from '../state/tune-sight.js';
import { type BarLook, barMarks, firstLine, railLine, secondLine } from './bar.js';
import { type ChartRow, comingRow, type Layout, layOut, type Slot, slotBar } from './layout.js';
import { fillLines, fitText, type Line, type Piece, padText, piece, textWidth } from './line.js';
import { marksLine } from './marks.js';
import { cutOver, type OverView, overLines } from './over-lines.js';
import { type DrawnRow, tallChart } from './tall-chart.js';
import { tallestOver } from './tallest-over.js';
import { tuneRow } from './tune-row.js';

/** What the chart is drawn from. `beat` is the felt beat under the cursor, `null` while nothing moves. */
export interface ChartView {
  readonly chart: Chart;
  readonly bars: readonly PlayedBar[];
  readonly bar: number;
  readonly beat: number | null;
  readonly unicode: boolean;
  /** Whether the form goes round, so that its first line follows its last. */
  readonly endless: boolean;
  /** The bars that are played, half open. */
  readonly range: { readonly from: number; readonly to: number };
  readonly layout: LayoutKind;
  readonly names: ChordNames;
  /** Whether what comes after this line is shown. */
  readonly ahead: boolean;
  /** Whether the words of phrases are shown. */
  readonly words: boolean;
  /** The tune, above the line that is played; `null` where it is not shown. */
  readonly tune: TuneSight | null;
  /** Whether a chord of a bar is hard to reach. */
  readonly isHard: (bar: number, cell: number) => boolean;
  /** The marks of the strokes that were heard in a bar; `null` where nobody listens. */
  readonly marksIn: ((bar: number) => readonly StrokeMark[]) | null;
  /** Whether a chord of a bar has been called: all are, unless numbers come late. */
  readonly isCalled: (bar: number, cell: number) => boolean;
}

/** Lines of two rows of the chart: the one being played and the one to come are always in sight. */
export const leastChart = 6;

/** Columns at the left for the section's name. */
const gutter = 9;
/** Columns a bar has at least, and at most: farther apart they are no longer one glance. */
const leastBar = 7;
const mostBar = 22;

/** From this many rows on the last one is far from being played. */
const manyRows = 5;

/** One line of the chart on the screen: which, and whether it is there for the second time round. */
interface Shown {
  readonly index: number;
  readonly current: boolean;
  readonly label: string;
  /** Whether marks of what was heard stand under it. */
  readonly marked?: boolean;
}

/**
 * Draws the chart on `height` lines of `width` columns. The line under the cursor always stands at the same height,
 * with the one before it above and what comes below: the eye's place stays, the chart moves.
 */
export function chartLines(view: ChartView, width: number, height: number): Line[] {
  const most = Math.max(2, Math.min(8, Math.floor((width - gutter) / leastBar)));
  const layout = layOut(view.chart, view.bars, view.layout, most);
  const rowHeight = height >= 16 ? 4 : 3;
  const over = overView(view, layout, width);
  const tallest = tallestOver(over, rowHeight === 3);
  if (tallest > 0) return tallLines(view, over, tallest, height);
  const count = Math.max(1, Math.floor(height / rowHeight));
  const shown = visibleRows(view, layout, count);
  const markedRows = view.marksIn ? markedPlaces(count, height - count * rowHeight) : [];
  const lines = shown.flatMap((one, place) => {
    const marked = markedRows.includes(place);
    // The row before gives the line that the tune takes, so that the numbers stay where they are.
    const gives = view.tune !== null && place === currentPlace(count) - 1;
    const free = rowHeight + (marked ? 1 : 0) - (gives ? 1 : 0);
    if (!one && place < currentPlace(count)) return openingLines(view.chart, width, free);
    if (!one) return Array.from({ length: free }, (): Line => []);
    const drawn = rowLines(view, layout, { ...one, marked }, width, rowHeight);
    if (gives) return withoutLine(drawn, rowHeight === 4 ? 0 : 1);
    const over = rowHeight - 3;
    return one.current
      ? [...drawn.slice(0, over), ...tuneOver(view, layout, one.index, width), ...drawn.slice(over)]
      : drawn;
  });
  return lines.slice(0, height);
}

/**
 * The places of rows with a line of marks under them: the one that is played, and the one before it where there are lines to spare,
 * or so many rows that the last need not be whole. Else it gives one line, its rail.
 */
function markedPlaces(count: number, spare: number): readonly number[] {
  const current = currentPlace(count);
  return current > 0 && (spare >= 1 || count >= manyRows) ? [current - 1, current] : [current];
}

/** Where the row under the cursor stands among so many. */
function currentPlace(count: number): number {
  return count >= 3 ? 1 : 0;
}

/** What is above the first line of a chart, where others have the line before them: who made it, and its notes; exactly this many lines, of which the last is empty. */
function openingLines({ by, notes }: Chart, width: number, height: number): readonly Line[] {
  const texts = [by === null || by === '' ? '' : `by ${by}`, notes ?? ''];
  const lines = texts
    .filter((text) => text !== '')
    .flatMap((text) => wrapText(safeText(text), width - gutter - 1));
  const shown = lines.slice(0, Math.max(0, height - 1));
  if (shown.length < lines.length)
    shown.push(...shown.splice(-1).map((text) => fitText(`${text}…`, width - gutter)));
  return Array.from({ length: height }, (_, at): Line => {
    const text = shown[at] ?? '';
    return text === '' ? [] : [piece(' '.repeat(gutter)), piece(text, 'dim')];
  });
}

function withoutLine(lines: readonly Line[], index: number): readonly Line[] {
  return [...lines.slice(0, index), ...lines.slice(index + 1)];
}

/** The line of the tune over the row that is played; none where it is not shown. */
function tuneOver(view: ChartView, layout: Layout, index: number, width: number): readonly Line[] {
  const row = layout.rows[index];
  const { tune } = view;
  if (!tune || !row) return [];
  const here = layout.slotOf[view.bar] ?? -1;
  return [tuneRow({ ...view, tune, here, gutter, barWidth: barWidthOf(layout, row, width) }, row)];
}

/** How what is over a row is put into columns. */
function overView({ bars, unicode, words }: ChartView, layout: Layout, width: number): OverView {
  return {
    bars,
    unicode,
    words,
    layout,
    gutter,
    width,
    barWidth: (row) => barWidthOf(layout, row, width),
    ending: (slot) => endingMark(slot, unicode),
  };
}

/** The chart where more is said over its bars than the usual one line holds. */
function tallLines(view: ChartView, over: OverView, tallest: number, height: number): Line[] {
  const { layout, width } = over;
  const current = layout.rowOf[view.bar] ?? 0;
  const coming = comingRow(layout, view.bar, view.range, view.endless);
  const drawn = (shown: Shown): DrawnRow => ({
    over: overLines(
      over,
      layout.rows[shown.index] as ChartRow,
      view.bar,
      shown.current ? (layout.slotOf[view.bar] ?? -1) : -1,
    ),
    body: rowLines(view, layout, shown, width, 4).slice(1),
  });
  const before = shownRow(view, layout, current - 1, false);
  const next = (place: number): (DrawnRow & { isComing: boolean }) | null => {
    const shown = view.ahead ? shownRow(view, layout, current + 1 + place, false) : null;
    return shown && { ...drawn(shown), isComing: shown.index === coming };
  };
  return tallChart({
    height,
    airy: height >= 16,
    most: tallest,
    before: before && drawn(before),
    opening: (lines) => openingLines(view.chart, width, lines),
    tune: tuneOver(view, layout, current, width),
    current: drawn({
      index: current,
      current: true,
      label: shownRow(view, layout, current, true)?.label ?? '',
      marked: view.marksIn !== null,
    }),
    next,
    coming:
      view.ahead && coming !== null && coming !== current
        ? drawn({ index: coming, current: false, label: comingLabel(view) })
        : null,
    cut: (lines, most) => cutOver(lines, most, width),
  });
}

/** The chart across a screen of this many columns, on exactly this many lines. */
export function chartBlock(view: ChartView, columns: number, height: number): Line[] {
  const lines = chartLines(view, columns - 2, height).map((line): Line => [piece(' '), ...line]);
  return fillLines(lines, columns, height);
}

/** The lines in sight: the current one second where there is room for one above it; the one that comes is always among them. */
function visibleRows(view: ChartView, layout: Layout, count: number): (Shown | null)[] {
  const current = layout.rowOf[view.bar] ?? 0;
  const above = currentPlace(count);
  const coming = comingRow(layout, view.bar, view.range, view.endless);
  const rows = Array.from({ length: count }, (_, place): Shown | null =>
    place > above && !view.ahead ? null : shownRow(view, layout, current - above + place, place === above),
  );
  if (!view.ahead || coming === null || count < 2) return rows;
  const seen = rows.slice(above + 1).some((row) => row?.index === coming);
  if (!seen && coming !== current)
    rows[count - 1] = { index: coming, current: false, label: comingLabel(view) };
  return rows;
}

/** A row of the page, which begins again after its end where the form goes round; `null` where there is none. */
function shownRow(view: ChartView, layout: Layout, rowIndex: number, current: boolean): Shown | null {
  const total = layout.rows.length;
  const wraps = view.endless && view.layout !== 'written' && rowIndex >= total && view.range.from === 0;
  const index = wraps ? rowIndex % total : rowIndex;
  const row = layout.rows[index];
  if (!row) return null;
  const label = wraps && row.section !== '' ? `${againSign(view)} ${row.section}` : row.section;
  return { index, current, label };
}

/** Stands beside a row that is played next though it does not stand next. */
function comingLabel(view: ChartView): string {
  return `then ${againSign(view)}`;
}

function againSign({ unicode }: ChartView): string {
  return unicode ? '↻' : '~';
}

function barWidthOf({ kind }: Layout, row: ChartRow, width: number): number {
  const count = kind === 'fours' ? 4 : Math.max(4, row.slots.length);
  return Math.max(leastBar - 1, Math.min(mostBar, Math.floor((width - gutter) / count)));
}

function rowLines(view: ChartView, layout: Layout, shown: Shown, width: number, height: number): Line[] {
  const row = layout.rows[shown.index] as ChartRow;
  const barWidth = barWidthOf(layout, row, width);
  const style = shown.current ? 'title' : 'dim';
  // As written, a section is drawn once: what the form calls it now, who leads and how loud it is stand beside the line that is played.
  const playing = layout.kind === 'written' && shown.current ? view.bars[view.bar] : undefined;
  const first: Piece[] = [piece(gutterText(playing?.section ?? shown.label), style)];
  const second: Piece[] = [piece(gutterText(playing?.who ?? row.who ?? ''), 'dim')];
  const rail: Piece[] = [piece(gutterText(playing?.level ?? row.level ?? ''), 'dim')];
  const marks: string[] = [];
  const heard: Piece[] = [piece(' '.repeat(gutter))];
  const hereSlot = shown.current ? (layout.slotOf[view.bar] ?? -1) : -1;
  row.slots.forEach((slot, place) => {
    const here = place === hereSlot;
    const index = here ? view.bar : slotBar(slot, view.bar);
    const bar = view.bars[index] ?? slot.unplayed;
    if (!bar) return;
    const look = lookOf(view, slot, bar, { width: barWidth, here, index });
    first.push(...firstLine(bar, look, view.names));
    second.push(...secondLine(bar, look, view.names));
    marks.push(markText(view, slot, bar, index));
    rail.push(
      ...(height === 3 && !here && marks.at(-1) !== ''
        ? markPieces(marks.at(-1) ?? '', barWidth)
        : railLine(bar, look)),
    );
    if (shown.marked) heard.push(...marksLine(bar, look, view.marksIn?.(index) ?? []));
  });
  const body = [first, second, rail, ...(shown.marked ? [heard] : [])];
  if (height === 3) return body;
  return [[piece(' '.repeat(gutter)), ...overMarks(marks, barWidth, width - gutter)], ...body];
}

function gutterText(text: string): string {
  return `${padText(safeText(text), gutter - 1)} `;
}

function lookOf(
  view: ChartView,
  { before, after }: Slot,
  bar: PlayedBar,
  { width, here, index }: { width: number; here: boolean; index: number },
): BarLook {
  return {
    width,
    here,
    beat: here ? view.beat : null,
    unicode: view.unicode,
    before,
    after,
    hard: bar.cells.map((_, cell) => view.isHard(index, cell)),
    called: bar.cells.map((_, cell) => view.isCalled(index, cell)),
  };
}

function markText(view: ChartView, slot: Slot, bar: PlayedBar, index: number): string {
  const marks = [barMarks(bar, view.bars[index - 1], view.unicode), ...timeMarksAt(view.bars, index)]
    .filter((text) => text !== '')
    .join(' ');
  return [endingMark(slot, view.unicode), marks].filter((one) => one !== '').join(' ');
}

function endingMark({ ending }: Slot, unicode: boolean): string {
  return ending === '' ? '' : `${unicode ? '┌' : '['}${ending}`;
}

function markPieces(text: string, width: number): Piece[] {
  return [piece(`${padText(fitText(text, width - 1), width - 1)} `, 'cue')];
}

/** The marks above a line of this many columns; one that is long runs on over bars that have none, the last one to the line's end. */
function overMarks(marks: readonly string[], width: number, columns: number): Piece[] {
  const pieces: Piece[] = [];
  let column = 0;
  marks.forEach((text, place) => {
    const start = place * width;
    if (text === '' || start < column) return;
    const next = marks.findIndex((one, index) => index > place && one !== '');
    const room = (next < 0 ? columns - start : (next - place) * width) - 1;
    const fitted = fitText(text, room);
    pieces.push(piece(' '.repeat(start - column)), piece(fitted, 'cue'));
    column = start + textWidth(fitted);
  });
  return pieces;
}
