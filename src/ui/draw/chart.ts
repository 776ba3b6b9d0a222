import { safeText } from '../../base/safe-text.js';
import type { PlayedBar } from '../../chart/chart.js';
import { chordLabel, numberLabel, withMarks } from '../../chart/label.js';
import { type ChartRow, rowOf } from './chart-rows.js';
import { fitText, type Line, type Piece, padText, piece, type Style } from './line.js';

/** What the chart is drawn from. `beat` is the felt beat under the cursor, `null` while nothing moves. */
export interface ChartView {
  readonly bars: readonly PlayedBar[];
  readonly rows: readonly ChartRow[];
  readonly bar: number;
  readonly beat: number | null;
  readonly unicode: boolean;
  /** Whether the form goes round, so that its first line follows its last. */
  readonly endless: boolean;
}

/** Columns at the left for the section's name. */
const gutter = 9;
/** Screen lines one line of the chart takes: numbers, chords, rail. */
export const rowHeight = 3;

/**
 * Draws the chart on `height` lines of `width` columns. The line under the cursor always stands second,
 * with the one before it above and what comes below: the eye's place stays, the chart moves.
 */
export function chartLines(view: ChartView, width: number, height: number): Line[] {
  const lines: Line[] = [];
  const visible = Math.max(1, Math.floor(height / rowHeight));
  const current = rowOf(view.rows, view.bar);
  const above = visible >= 3 ? 1 : 0;
  for (let place = 0; place < visible; place += 1) {
    const index = current - above + place;
    const count = view.rows.length;
    const wrapped = view.endless && count > 0 && index >= count ? index % count : index;
    const row = view.rows[wrapped];
    if (row)
      lines.push(...rowLines(view, row, width, wrapped === current && index === current, index >= count));
    else lines.push(...Array.from({ length: rowHeight }, () => []));
  }
  return lines.slice(0, height);
}

function rowLines(view: ChartView, row: ChartRow, width: number, current: boolean, again: boolean): Line[] {
  const barWidth = Math.max(6, Math.floor((width - gutter) / 4));
  const name = again && row.section !== '' ? `${view.unicode ? '↻' : '~'} ${row.section}` : row.section;
  const label = padText(safeText(name), gutter - 1) + ' ';
  const who = padText(row.who ? safeText(row.who) : '', gutter - 1) + ' ';
  const numbers: Piece[] = [piece(label, current ? 'title' : 'dim')];
  const chords: Piece[] = [piece(who, 'dim')];
  const rail: Piece[] = [piece(' '.repeat(gutter))];
  for (const index of row.bars) {
    const bar = view.bars[index] as PlayedBar;
    const here = current && index === view.bar;
    numbers.push(...numberPieces(bar, barWidth, here, view));
    chords.push(...chordPieces(bar, barWidth, view));
    rail.push(...railPieces(bar, barWidth, here, view));
  }
  return [numbers, chords, rail];
}

/** Places each cell's label at its beat; a label that would run into the next is cut with an ellipsis. */
function placed(
  bar: PlayedBar,
  width: number,
  label: (index: number) => string,
): { text: string; gap: number }[] {
  const room = width - 1;
  const starts = bar.cells.map((cell) => Math.floor((cell.at / bar.beats) * room));
  return bar.cells.map((_, index) => {
    const start = starts[index] as number;
    const end = starts[index + 1] ?? room;
    const text = fitText(label(index), Math.max(1, end - start - (index + 1 < bar.cells.length ? 1 : 0)));
    return { text, gap: end - start - [...text].length };
  });
}

function numberPieces(bar: PlayedBar, width: number, here: boolean, view: ChartView): Piece[] {
  const sounding =
    here && view.beat !== null
      ? bar.cells.findLastIndex((cell) => cell.at <= (view.beat as number) + 1e-9)
      : here
        ? 0
        : -1;
  const cells = placed(bar, width, (index) => {
    const cell = bar.cells[index] as PlayedBar['cells'][number];
    return withMarks(cell.number ? numberLabel(cell.number, view.unicode) : 'nc', cell);
  });
  const pieces = cells.flatMap(({ text, gap }, index): Piece[] => {
    const style: Style = index === sounding ? 'here' : 'number';
    return [piece(text, style), piece(' '.repeat(Math.max(0, gap)))];
  });
  return [...pieces, piece(' ')];
}

function chordPieces(bar: PlayedBar, width: number, view: ChartView): Piece[] {
  const cells = placed(bar, width, (index) => {
    const chord = bar.cells[index]?.chord;
    return chord ? chordLabel(chord, view.unicode) : view.unicode ? '·' : '.';
  });
  return [
    ...cells.flatMap(({ text, gap }) => [piece(text, 'chord'), piece(' '.repeat(Math.max(0, gap)))]),
    piece(' '),
  ];
}

/** The rail under a bar: a piece for each beat, the one that sounds drawn strong. */
function railPieces(bar: PlayedBar, width: number, here: boolean, view: ChartView): Piece[] {
  const room = width - 1;
  const beats = Math.ceil(bar.beats);
  const thin = view.unicode ? '─' : '-';
  const thick = view.unicode ? '━' : '=';
  const pieces: Piece[] = [];
  for (let beat = 0; beat < beats; beat += 1) {
    const from = Math.floor((beat * room) / beats);
    const to = Math.floor(((beat + 1) * room) / beats);
    const on = here && (view.beat === null ? false : beat === view.beat);
    const past = here && view.beat !== null && beat < view.beat;
    const length = Math.max(1, to - from - 1);
    pieces.push(
      piece((on || past ? thick : thin).repeat(length), on ? 'rail-on' : past ? 'plain' : 'rail'),
      piece(' '.repeat(Math.max(0, to - from - length))),
    );
  }
  return [...pieces, piece(' ')];
}

/** The form as a strip: every entry in order, the one being played marked. */
export function formStrip(rows: readonly ChartRow[], bar: number, width: number, unicode: boolean): Line {
  const starts = rows.filter((row) => row.section !== '');
  const current = rows[rowOf(rows, bar)];
  const here = starts.findLastIndex((row) => (row.bars[0] ?? 0) <= (current?.bars[0] ?? 0));
  const names = starts.map((row) => safeText(row.section));
  // Shown from far enough left that the current entry and two to come are in sight.
  let first = 0;
  const length = (from: number, to: number): number =>
    names.slice(from, to).reduce((sum, name) => sum + name.length + 3, 4);
  while (first < here && length(first, Math.min(names.length, here + 3)) > width) first += 1;
  const gap = unicode ? ' › ' : ' > ';
  const pieces: Piece[] = first > 0 ? [piece(`${unicode ? '…' : '..'}${gap}`, 'dim')] : [];
  names.slice(first).forEach((name, index) => {
    if (index > 0) pieces.push(piece(gap, 'dim'));
    pieces.push(piece(name, first + index === here ? 'here' : 'dim'));
  });
  return pieces;
}
