import { keyNow, type PassView } from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import { keyName, withSigns } from '../../theory/key.js';
import type { Model } from '../state/model.js';
import type { StandView } from '../state/select.js';
import { partBody, partView } from './band/part-body.js';
import { chartBlock, chartLines, leastChart } from './chart.js';
import { handColumn, promptBelow } from './hand-column.js';
import { familyText, nextLines, nowLines } from './hand-pane.js';
import { ladderLines } from './ladder.js';
import { beside, type Line, piece } from './line.js';
import { chartView, handView } from './stand-views.js';
import { transcribeBody } from './transcribe.js';

/** From this size on the hand is at the right, below it under the chart. */
const wideColumns = 78;
const tallBody = 16;
/** What fills a stand between its head and the line above the keys: the chart, and what the hand does or the own part of a band plays. */
export function bodyLines(
  model: Model,
  shown: StandView,
  view: PassView,
  columns: number,
  room: number,
): Line[] {
  const drawn = chartView(model, shown, view);
  if (shown.mode.kind === 'transcribe') return transcribeBody(drawn, columns, room);
  const asked = askedLines(model, shown, columns, room);
  const isWide = columns >= wideColumns && room >= tallBody;
  const part = asked ? null : partView(model, shown, view);
  if (part)
    return partBody(model, part, drawn, { columns, room, paneWidth: isWide ? paneWidthOf(columns) : null });
  const hand = handView(model, shown, view);
  const family = familyOf(model, shown.performance, !hand.shown);
  if (isWide) {
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

function familyOf(model: Model, performance: Performance, isHidden: boolean): string {
  const { arrangement } = performance;
  if (!arrangement) return '';
  const elsewhere = arrangement.families?.get(keyName(keyNow(performance)));
  const name = keyName(elsewhere ? keyNow(performance) : arrangement.key);
  const shown = model.look.unicode ? withSigns(name) : name;
  return familyText(elsewhere ?? arrangement.family, shown, isHidden);
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
