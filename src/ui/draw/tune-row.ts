import type { PlayedBar } from '../../chart/chart.js';
import type { TuneSight } from '../state/tune-sight.js';
import { type ChartRow, slotBar } from './layout.js';
import { fitLine, type Line, lineWidth, type Piece, padText, piece } from './line.js';
import { pickupPieces, type TuneBarView, tuneLine } from './tune-line.js';

/** What the line of the tune over a row is drawn from. `here`: the place of the bar that is played among those of the row. */
export interface TuneRowView {
  readonly bars: readonly PlayedBar[];
  readonly bar: number;
  readonly unicode: boolean;
  readonly tune: TuneSight;
  readonly here: number;
  /** Columns before the first bar, and of a bar. */
  readonly gutter: number;
  readonly barWidth: number;
}

/** The tune over a row of the chart, one degree of it marked while it sounds. At its left the pick-up in front of the first bar, or what the line is. */
export function tuneRow(view: TuneRowView, row: ChartRow): Line {
  const { bars, bar, tune, here, unicode, barWidth: width } = view;
  const shown = row.slots.map((slot, place): TuneBarView | null => {
    const index = place === here ? bar : slotBar(slot, bar);
    const notes = tune.notesOf(index);
    const played = bars[index];
    if (!played || !notes) return null;
    const { before, after } = slot;
    const look = { width, here: false, beat: null, unicode, before, after, hard: [], called: [] };
    const sounds = place === here && tune.now?.bar === index && tune.now.tick >= 0;
    return { bar: played, notes, look, tick: sounds ? (tune.now?.tick ?? null) : null };
  });
  const { isAll, pieces } = tuneLine(shown);
  const first = row.slots[0]?.times.includes(0) ? bars[0] : undefined;
  const name = shown.every((one) => one === null) ? '' : isAll ? 'tune' : 'tune …';
  const left = pickup(view, first, isAll) ?? [piece(name, 'dim')];
  return [
    ...fitLine(left, view.gutter),
    ...pieces.flatMap((one) => (one ? fitLine(one, width) : [piece(' '.repeat(width))])),
  ];
}

/** The pick-up in front of the first bar, close to it; `null` where there is none, or another bar is the row's first. */
function pickup(
  { tune, gutter }: TuneRowView,
  first: PlayedBar | undefined,
  isAll: boolean,
): readonly Piece[] | null {
  if (!first || tune.ahead.length === 0) return null;
  const tick = tune.now && tune.now.bar === 0 && tune.now.tick < 0 ? tune.now.tick : null;
  const pieces = pickupPieces(tune.ahead, first, tick);
  const room = gutter - 1 - lineWidth(pieces);
  return [piece(padText(isAll ? '' : '…', Math.max(0, room)), 'dim'), ...pieces];
}
