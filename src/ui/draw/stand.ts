import { quarterTempo } from '../../chart/chart.js';
import { numberLabel } from '../../chart/label.js';
import { keyName, withSigns } from '../../theory/key.js';
import type { Place } from '../keymap.js';
import type { Model, Stand } from '../model.js';
import {
  barsToMyTurn,
  handMoment,
  isCalled,
  isHard,
  isHardChange,
  type PassView,
  passView,
  rangeShown,
} from '../pass-view.js';
import { seen } from '../update/sight.js';
import { bigText, bigWidth } from './big-text.js';
import { type ChartView, chartLines } from './chart.js';
import { footLine } from './foot.js';
import {
  afterLine,
  countdown,
  familyText,
  glanceLine,
  type HandView,
  nextLines,
  nowLines,
  sentenceLines,
  wrapWords,
} from './hand-pane.js';
import { headLine } from './head.js';
import { ladderLines } from './ladder.js';
import { formParts } from './layout.js';
import { beside, fitLine, type Line, lineWidth, padText, piece } from './line.js';
import { usualSight } from './neck.js';
import { noticeLine } from './notice.js';
import { standFar } from './stand-far.js';
import { formStrip } from './strip.js';
import { takenBars } from './taken.js';

/** The least size the stand can be drawn in. */
export const leastSize = { columns: 60, rows: 18 } as const;
/** From this size on the hand stands at the right, below it under the chart. */
const wideColumns = 78;
const tallBody = 16;
/** Two lines of the chart: the one being played and the one to come are always in sight. */
const leastChart = 6;
/** Lines of the body that hold no more than chart, shapes and one line of prompt. */
const leastRoom = 13;

/**
 * The whole stand: exactly `rows - 1` lines (a frame as tall as the terminal would make it scroll) of at
 * most `columns` columns.
 */
export function standLines(model: Model): Line[] {
  const { columns, rows } = model.size;
  const height = rows - 1;
  const { stand } = model;
  if (!stand) return fill([], columns, height);
  const view = passView(stand);
  const { unicode } = model.look;
  const notice = noticeLine(model, view && turnOf(stand, view), columns);
  const keys = footLine(model.bindings, columns, unicode, model.set ? 'song' : placeOf(stand));
  if (view && stand.sight.far)
    return fill(
      [...standFar(model, stand, view, handOf(model, stand, view), height - 1), notice],
      columns,
      height,
    );
  const head = [headLine(model, stand, columns), view ? stripLine(view, stand, columns, unicode) : []];
  // Where lines are few, none is left empty.
  const air: Line[] = rows >= 22 ? [[]] : [];
  const room = height - head.length - 2 - air.length;
  const body = view
    ? bodyLines(model, stand, view, columns, room)
    : [[piece('  the hand is being planned', 'dim')]];
  // On the smallest screens the sentence has no line of its own: it takes the notice's while that is empty.
  const told = notice.length === 0 && view && room <= leastRoom ? sentenceLine(model, stand, view) : notice;
  return fill([...head, ...air, ...fill(body, columns, room), told, keys], columns, height);
}

function sentenceLine(model: Model, stand: Stand, view: PassView): Line {
  return [piece(' '), ...sentenceLines(handOf(model, stand, view), Number.POSITIVE_INFINITY).flat()];
}

function turnOf(stand: Stand, view: PassView): number | null {
  return barsToMyTurn(view, stand.cursor.bar, rangeShown(stand));
}

function fill(lines: readonly Line[], columns: number, height: number): Line[] {
  const cut = lines.slice(0, height).map((line) => fitLine(line, columns));
  return [
    ...cut,
    ...Array.from({ length: Math.max(0, height - cut.length) }, (): Line => [piece(' '.repeat(columns))]),
  ];
}

/** The tempo that sounds, in quarters a minute: what is hard depends on it. */
function quartersNow({ chart, bpm }: Stand): number {
  return quarterTempo({ ...chart.tempo, bpm });
}

function chartView(model: Model, stand: Stand, view: PassView): ChartView {
  const { bar, beat, counting } = stand.cursor;
  const { layout, names, ahead, late } = seen(stand.sight);
  const tempo = quartersNow(stand);
  return {
    chart: stand.chart,
    bars: stand.taking ? takenBars(view.bars, stand.taking) : view.bars,
    bar,
    beat: counting ? null : beat,
    unicode: model.look.unicode,
    endless: stand.passes === null,
    range: rangeShown(stand) ?? { from: 0, to: view.bars.length },
    layout: stand.taking ? 'fours' : layout,
    names,
    ahead,
    isHard: (index, cell) => index >= 0 && isHard(view, index, cell, tempo),
    isCalled: (index, cell) =>
      late === null || isCalled(view, { bar, beat: beat ?? 0 }, rangeShown(stand), late, index, cell),
  };
}

function handOf(model: Model, stand: Stand, view: PassView): HandView {
  const { bar, beat, counting } = stand.cursor;
  const { now, next, after } = handMoment(view, bar, counting ? 0 : (beat ?? 0), rangeShown(stand));
  const { hand, names, late } = seen(stand.sight);
  const coming = next && (late === null || next.beats <= late) ? next : null;
  return {
    instrument: stand.instrument,
    now,
    next: coming?.change ?? null,
    beatsLeft: coming?.beats ?? null,
    after: late === null ? after : null,
    hard: coming !== null && isHardChange(view, coming.index, quartersNow(stand)),
    running: model.player.state === 'running',
    unicode: model.look.unicode,
    sight: model.look.neck ?? usualSight,
    names,
    shown: hand,
  };
}

function bodyLines(model: Model, stand: Stand, view: PassView, columns: number, room: number): Line[] {
  const drawn = chartView(model, stand, view);
  if (stand.taking) return takingBody(drawn, columns, room);
  const hand = handOf(model, stand, view);
  const family = familyOf(model, stand);
  const asked = askedLines(model, stand, columns, room);
  if (columns >= wideColumns && room >= tallBody) {
    const paneWidth = Math.min(52, Math.floor(columns * 0.42));
    const left = columns - paneWidth;
    const right = asked ?? handColumn(hand, family, paneWidth - 2, room);
    const lines = chartLines(drawn, left - 2, room);
    return Array.from({ length: room }, (_, index) =>
      beside([piece(' '), ...(lines[index] ?? [])], left, right[index] ?? []),
    );
  }
  const half = Math.floor(columns / 2);
  const now = nowLines(hand, half - 2);
  const next = nextLines(hand, half - 2);
  const pane = now.map((line, index) =>
    asked ? [piece(' '), ...(asked[index] ?? [])] : beside([piece(' '), ...line], half, next[index] ?? []),
  );
  // Lines for the prompt stay free whether or not there is one, so that nothing jumps.
  const promptRoom = Math.max(1, Math.min(3, room - leastChart - pane.length));
  const chartRoom = Math.max(leastChart, room - pane.length - promptRoom);
  return [
    ...chartBlock(drawn, columns, chartRoom),
    ...pane,
    ...promptBelow(hand, family, columns, promptRoom),
  ];
}

function familyOf(model: Model, { arrangement }: Stand): string {
  if (!arrangement) return '';
  const name = keyName(arrangement.key);
  return familyText(arrangement.family, model.look.unicode ? withSigns(name) : name);
}

/** In place of the hand, between two passes of a ladder: the question how it was, and the curve; `null` while nothing is asked. */
function askedLines(model: Model, stand: Stand, columns: number, room: number): Line[] | null {
  if (!stand.ladder || stand.asking === null) return null;
  const seconds = Math.max(0, Math.ceil((stand.asking - model.at) / 1000));
  const wide = columns >= wideColumns && room >= tallBody;
  const width = wide ? Math.min(52, Math.floor(columns * 0.42)) - 2 : columns - 4;
  const height = wide ? room : stand.instrument.courses.length + 2;
  return ladderLines(stand.ladder, seconds, { width, height, unicode: model.look.unicode });
}

/** The chart across the whole width, as many lines as there is room for. */
function chartBlock(drawn: ChartView, columns: number, room: number): Line[] {
  const lines = chartLines(drawn, columns - 2, room).map((line): Line => [piece(' '), ...line]);
  return fill(lines, columns, room);
}

/** Countdown and glance on one line; behind or below it, as there is room, what comes after, the family or the sentence. */
function promptBelow(hand: HandView, family: string, columns: number, room: number): Line[] {
  const glance: Line = [piece(' '), ...countdown(hand), piece(' '), ...glanceLine(hand)];
  const sentence = sentenceLines(hand, columns - 2);
  const after = afterLine(hand);
  const fits = lineWidth(glance) + lineWidth(after) + 4 <= columns;
  const gap = ' '.repeat(Math.max(2, columns - 1 - lineWidth(glance) - lineWidth(after)));
  const told = sentence.length > 0 ? sentence : [[piece(family, 'dim')]];
  const below = told.map((line): Line => [piece(' '), ...line]);
  return [fits ? [...glance, piece(gap), ...after] : glance, ...below].slice(0, room);
}

/** The hand from top to bottom: now, next, how and when, what comes after, the family. Each part has its place, so that nothing jumps. */
function handColumn(hand: HandView, family: string, width: number, room: number): Line[] {
  const shapes = [nowLines(hand, width), nextLines(hand, width)];
  const used = shapes.reduce((sum, part) => sum + part.length, 1);
  const sentence = sentenceLines(hand, width);
  const said = sentence.length > 0 ? sentence : [glanceLine(hand)];
  const gaps = Math.min(3, Math.max(0, room - used - 7));
  const told = [countdown(hand), ...cutLines(said, room - used - gaps)];
  const lies = wrapWords(family, width).map((text): Line => [piece(text, 'dim')]);
  // What is less needed has the room that is left, whole or not at all.
  const left = room - used - gaps - said.length;
  const below = left >= 1 + lies.length ? [afterLine(hand), ...lies] : left >= 1 ? [afterLine(hand)] : [];
  const column = [...shapes, told, below].flatMap((part, index) =>
    index > 0 && index <= gaps ? [[], ...part] : part,
  );
  const large = largeNext(hand, width);
  return column.length + large.length + 1 <= room ? [...column, [], ...large] : column;
}

/** Columns of the countdown in large figures, and how large they are. */
const countColumns = 24;
const largeScale = 2;

/** Where there is room below everything: beats left and what comes, to be read from farther away. */
function largeNext({ beatsLeft, next, unicode }: HandView, width: number): Line[] {
  const look = { scale: largeScale, unicode };
  const count = bigText(beatsLeft === null ? ' ' : String(beatsLeft), look);
  const label = next ? numberLabel(next.number, unicode) : ' ';
  if (bigWidth(label, look) > width - countColumns) return count.map((line) => [piece(line, 'count')]);
  return bigText(label, look).map((line, index) => [
    piece(padText(count[index] ?? '', countColumns), 'count'),
    piece(line, 'number'),
  ]);
}

/** So many lines; where some are left out, an ellipsis says so. */
function cutLines(lines: readonly Line[], most: number): readonly Line[] {
  if (lines.length <= most) return lines;
  const kept = lines.slice(0, Math.max(1, most));
  return [...kept.slice(0, -1), [...(kept.at(-1) ?? []), piece(' …')]];
}

/** While a chart is taken down: what was written, and how to write. */
function takingBody(drawn: ChartView, columns: number, room: number): Line[] {
  const words = [
    '1 to 7 write the chord that is called for this bar, in its last beat for the next; a bar without a call goes on as before.',
    'm minor, v seventh, b flat, # sharp: the last one. s: the next one shares the bar. Backspace strikes it.',
    'Space starts and stops the count, t taps the tempo, w the meter, < > the key. Enter names and keeps the chart.',
  ].flatMap((text) => wrapWords(text, columns - 4));
  const chartRoom = Math.max(leastChart, room - words.length - 1);
  return [
    ...chartBlock(drawn, columns, chartRoom),
    [],
    ...words.map((text): Line => [piece(`  ${text}`, 'dim')]),
  ];
}

function stripLine(view: PassView, stand: Stand, columns: number, unicode: boolean): Line {
  if (stand.taking) return [];
  const range = rangeShown(stand) ?? { from: 0, to: view.bars.length };
  const place = `${stand.cursor.bar + 1} of ${view.bars.length}`;
  const width = columns - 3 - 2 * String(view.bars.length).length - 4;
  const strip = formStrip({ parts: formParts(view.bars), bar: stand.cursor.bar, range, unicode }, width);
  const gap = columns - 2 - lineWidth(strip) - place.length;
  return [piece(' '), ...strip, piece(' '.repeat(Math.max(1, gap))), piece(place, 'dim')];
}

/** Whose keys stand on the last line. */
function placeOf({ taking, asking, drill }: Stand): Place {
  if (taking) return 'taking';
  if (asking !== null) return 'asking';
  return drill?.start.waits ? 'waiting' : 'stand';
}
