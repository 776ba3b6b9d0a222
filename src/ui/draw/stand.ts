import { barsToMyTurn, keyNow, type PassView, passView, rangeShown } from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import { keyName, withSigns } from '../../theory/key.js';
import { placeOf } from '../keys/place.js';
import type { Model } from '../state/model.js';
import { overlayOf, type StandView, standView } from '../state/select.js';
import { chartBlock, chartLines, leastChart } from './chart.js';
import { footLine } from './foot.js';
import { handColumn, promptBelow } from './hand-column.js';
import { familyText, nextLines, nowLines, sentenceLines } from './hand-pane.js';
import { headLine } from './head.js';
import { heardLines } from './heard.js';
import { ladderLines } from './ladder.js';
import { formParts } from './layout.js';
import { beside, fillLines, type Line, lineWidth, piece } from './line.js';
import { earSays, faultLines, noticeLine } from './notice.js';
import { standFar } from './stand-far.js';
import { chartView, handView } from './stand-views.js';
import { formStrip } from './strip.js';
import { transcribeBody } from './transcribe.js';

/** The least size the stand can be drawn in. */
export const leastSize = { columns: 60, rows: 18 } as const;
/** From this size on the hand stands at the right, below it under the chart. */
const wideColumns = 78;
const tallBody = 16;
/** Lines of the body that hold no more than chart, shapes and one line of prompt. */
const leastRoom = 13;
/** Lines of the body that stay as they are whatever is told over its last ones: those of the bar at hand. */
const leastBody = 9;

/**
 * The whole stand: exactly `rows - 1` lines (a frame as tall as the terminal would make it scroll) of at
 * most `columns` columns.
 */
export function standLines(model: Model): Line[] {
  const { columns, rows } = model.size;
  const height = rows - 1;
  const shown = standView(model);
  if (!shown) return fillLines([], columns, height);
  const { performance, stand } = shown;
  const view = passView(performance);
  const { unicode } = model.look;
  const faults = view && stand.sight.far ? [] : faultLines(model, columns);
  const typed = faults.length > 0 ? overlayOf(model, 'line') : null;
  const telling = typed ? { ...model, overlay: { ...typed, fault: '' } } : model;
  const ear = earSays(telling, columns);
  const notice = noticeLine({ ...telling, notice: ear.last }, view && turnOf(performance, view), columns);
  // The keys of what is drawn here, though a line may be typed in front of it.
  const keys = footLine(model.bindings, columns, unicode, placeOf({ mode: model.mode, overlay: null }));
  if (view && stand.sight.far)
    return fillLines(
      [...standFar(model, shown, view, handView(model, shown, view), height - 1), notice],
      columns,
      height,
    );
  const head = [headLine(model, shown, columns), view ? stripLine(view, shown, columns, unicode) : []];
  // Where lines are few, none is left empty.
  const air: Line[] = rows >= 22 ? [[]] : [];
  const room = height - head.length - 2 - air.length;
  const body = view
    ? bodyLines(model, shown, view, columns, room)
    : [[piece('  the hand is being planned', 'dim')]];
  // On the smallest screens the sentence has no line of its own: it takes the notice's while that is empty.
  const remark = notice.length === 0 && view && room <= leastRoom ? sentenceLine(model, shown, view) : notice;
  // What is wrong with a typed line is read to its end: where that takes lines, they are the body's last.
  // So are what was heard of a pass, while the music rests, below the bar at hand.
  const last =
    faults.length > 0
      ? faults
      : [...heardLines(model, columns, room - leastBody - ear.above.length), ...ear.above];
  const shownBody = [...fillLines(body, columns, Math.max(0, room - last.length)), ...last];
  return fillLines([...head, ...air, ...shownBody.slice(0, room), remark, keys], columns, height);
}

function sentenceLine(model: Model, shown: StandView, view: PassView): Line {
  return [piece(' '), ...sentenceLines(handView(model, shown, view), Number.POSITIVE_INFINITY).flat()];
}

function turnOf(performance: Performance, view: PassView): number | null {
  return barsToMyTurn(view, performance.cursor.bar, rangeShown(performance));
}

function bodyLines(model: Model, shown: StandView, view: PassView, columns: number, room: number): Line[] {
  const drawn = chartView(model, shown, view);
  if (shown.mode.kind === 'transcribe') return transcribeBody(drawn, columns, room);
  const hand = handView(model, shown, view);
  const family = familyOf(model, shown.performance);
  const asked = askedLines(model, shown, columns, room);
  if (columns >= wideColumns && room >= tallBody) {
    const paneWidth = paneWidthOf(columns);
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

/** Columns of the hand beside the chart. */
function paneWidthOf(columns: number): number {
  return Math.min(52, Math.floor(columns * 0.42));
}

function familyOf(model: Model, performance: Performance): string {
  const { arrangement } = performance;
  if (!arrangement) return '';
  const elsewhere = arrangement.families?.get(keyName(keyNow(performance)));
  const name = keyName(elsewhere ? keyNow(performance) : arrangement.key);
  return familyText(elsewhere ?? arrangement.family, model.look.unicode ? withSigns(name) : name);
}

/** In place of the hand, between two passes of a ladder: the question how it was, and the curve; `null` while nothing is asked. */
function askedLines(
  model: Model,
  { drill, performance }: StandView,
  columns: number,
  room: number,
): Line[] | null {
  if (!drill?.ladder || drill.asking === null) return null;
  const seconds = Math.max(0, Math.ceil((drill.asking - model.at) / 1000));
  const wide = columns >= wideColumns && room >= tallBody;
  const width = wide ? paneWidthOf(columns) - 2 : columns - 4;
  const height = wide ? room : performance.setup.instrument.courses.length + 2;
  return ladderLines(drill.ladder, seconds, { width, height, unicode: model.look.unicode });
}

function stripLine(
  view: PassView,
  { mode, performance }: StandView,
  columns: number,
  unicode: boolean,
): Line {
  if (mode.kind === 'transcribe') return [];
  const { bar } = performance.cursor;
  const range = rangeShown(performance) ?? { from: 0, to: view.bars.length };
  const place = `${bar + 1} of ${view.bars.length}`;
  const width = columns - 3 - 2 * String(view.bars.length).length - 4;
  const strip = formStrip({ parts: formParts(view.bars), bar, range, unicode }, width);
  const gap = columns - 2 - lineWidth(strip) - place.length;
  return [piece(' '), ...strip, piece(' '.repeat(Math.max(1, gap))), piece(place, 'dim')];
}
