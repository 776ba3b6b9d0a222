import { sights } from '../../../band/parts.js';
import type { PassView } from '../../../playback/pass-view.js';
import type { Model } from '../../state/model.js';
import type { StandView } from '../../state/select.js';
import { sightNow } from '../../state/sight.js';
import { type ChartView, chartBlock, chartLines, leastChart } from '../chart.js';
import { beside, type Line, piece } from '../line.js';
import { playerOf } from './band-of.js';
import { capoBars } from './capo-bars.js';
import { capoOf, partPane } from './chord-pane.js';
import { paneBelow, paneColumn } from './part-pane.js';
import { type PartView, passPlace } from './part-view.js';
import { singerLines } from './singer.js';

/** The room for the body of a stand. */
export interface BodyRoom {
  readonly columns: number;
  readonly room: number;
  /** Columns of what is beside the chart; `null` where it is below. */
  readonly paneWidth: number | null;
}

/** What the own part is drawn from; `null` where the stand shows shapes, as it does outside of a band. */
export function partView(
  model: Model,
  { mode, stand, performance }: StandView,
  view: PassView,
): PartView | null {
  const { band, look } = model;
  if (!band || sights[band.band.part].shapes || mode.kind === 'transcribe') return null;
  const { names, late } = sightNow(stand.sight);
  return {
    part: band.band.part,
    capo: band.capo,
    performance,
    bars: view.bars,
    place: passPlace(performance, view),
    unicode: look.unicode,
    names,
    late,
  };
}

/** The chart as a part reads it: behind a capo with the letters that are played there. */
export function partChart(drawn: ChartView, part: PartView | null): ChartView {
  if (!part || !sights[part.part].capo) return drawn;
  return { ...drawn, bars: capoBars(drawn.bars, capoOf(part).fret) };
}

/** The body of a stand for a part without shapes: the chart, and beside or below it what the part plays, or sings. */
export function partBody(
  model: Model,
  part: PartView,
  drawn: ChartView,
  { columns, room, paneWidth }: BodyRoom,
): Line[] {
  const chart = partChart(drawn, part);
  if (sights[part.part].words && model.band) {
    const rows = room >= 30 ? leastChart + 2 : leastChart;
    const { bars, place, unicode } = part;
    const sung = { bars, place, player: playerOf(model.band), unicode };
    // The words are below, large.
    return [
      ...chartBlock({ ...chart, words: false }, columns, rows),
      ...singerLines(sung, columns, room - rows),
    ];
  }
  const pane = partPane(part);
  if (paneWidth !== null) {
    const left = columns - paneWidth;
    const lines = chartLines(chart, left - 2, room);
    const right = paneColumn(pane, paneWidth - 2, room);
    return Array.from({ length: room }, (_, index) =>
      beside([piece(' '), ...(lines[index] ?? [])], left, right[index] ?? []),
    );
  }
  const below = Math.min(Math.max(7, room - 2 * leastChart), 9, room - leastChart);
  return [...chartBlock(chart, columns, room - below), ...paneBelow(pane, columns, below)];
}
