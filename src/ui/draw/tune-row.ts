import type { PlayedBar } from '../../chart/chart.js';
import { pitchDegree } from '../../chart/tune/degrees-text.js';
import type { BarNote } from '../../chart/tune/tune-by-bars.js';
import { noteTick } from '../../time/note-tick.js';
import type { TuneSight } from '../state/tune-sight.js';
import { span } from './bar.js';
import { type ChartRow, slotBar } from './layout.js';
import { fitLine, type Line, lineWidth, type Piece, padText, piece } from './line.js';
import { layOutTune, type PlacedSign, soundingSign, type TuneBar } from './tune-line.js';

/** What the line of the tune over a row is drawn from. `here`: the place of the bar that is played among those of the row. */
export interface TuneRowView {
  readonly bars: readonly PlayedBar[];
  readonly bar: number;
  readonly tune: TuneSight;
  readonly here: number;
  /** Columns before the first bar, and of a bar. */
  readonly gutter: number;
  readonly barWidth: number;
}

/** The tune over a row of the chart, one degree of it marked while it sounds. At its left the pick-up in front of what is played, or what the line is. */
export function tuneRow(view: TuneRowView, row: ChartRow): Line {
  const { tune, here, bar } = view;
  const laid = laidOut(view, row);
  const sounds = tune.now?.bar === bar && tune.now.tick >= 0 ? tune.now.tick : null;
  return [
    ...left(view, row, laid),
    ...laid.bars.flatMap((one, place) => {
      if (sounds === null || place !== here || !one) return laid.still[place] as Line;
      const sign = soundingSign(one, one.signs, sounds);
      return sign ? barPieces(one, view.barWidth, sign) : (laid.still[place] as Line);
    }),
  ];
}

/** A bar of the row with its signs; `indent`: columns in front of them. */
interface LaidBar extends TuneBar {
  readonly indent: number;
  readonly signs: readonly PlacedSign[];
}

/** A row laid out: its bars (`null` without a tune), and how they look while nothing is marked. */
interface LaidRow {
  readonly isAll: boolean;
  readonly width: number;
  readonly notes: readonly (readonly BarNote[] | null)[];
  readonly bars: readonly (LaidBar | null)[];
  readonly still: readonly Line[];
}

/* Laid out when the row is come to, not once a frame; as written, the times a row is played may have other notes. */
const known = new WeakMap<ChartRow, LaidRow>();

function laidOut({ bars, bar, tune, here, barWidth }: TuneRowView, row: ChartRow): LaidRow {
  const indices = row.slots.map((slot, place) => (place === here ? bar : slotBar(slot, bar)));
  const notes = indices.map(tune.notesOf);
  const before = known.get(row);
  if (before?.width === barWidth && notes.every((one, place) => one === before.notes[place])) return before;
  const shown = row.slots.map((slot, place): (TuneBar & { readonly indent: number }) | null => {
    const played = bars[indices[place] as number];
    const own = notes[place];
    if (!played || !own) return null;
    const look = { width: barWidth, here: false, beat: null, unicode: true, hard: [], called: [] };
    const { room } = span(played, { ...look, before: slot.before, after: slot.after });
    return { bar: played, notes: own, room, indent: slot.before.length };
  });
  const { isAll, bars: signs } = layOutTune(shown.filter((one) => one !== null));
  let count = 0;
  const laidBars = shown.map((one) => one && { ...one, signs: signs[count++] ?? [] });
  const still = laidBars.map(
    (one): Line => (one ? barPieces(one, barWidth, null) : [piece(' '.repeat(barWidth))]),
  );
  const made = { isAll, width: barWidth, notes, bars: laidBars, still };
  known.set(row, made);
  return made;
}

/** The signs of a bar on its columns, those that are alike together: few pieces are drawn fast. */
function barPieces({ indent, signs }: LaidBar, width: number, sounding: PlacedSign | null): Line {
  const pieces: Piece[] = [];
  let text = ' '.repeat(indent);
  for (const sign of signs) {
    const gap = ' '.repeat(Math.max(0, indent + sign.column - lineWidth(pieces) - text.length));
    if (sign === sounding) {
      pieces.push(piece(text + gap), piece(sign.text, 'tune-on'));
      text = '';
    } else text += gap + sign.text;
  }
  return fitLine([...pieces, piece(text)], width);
}

/** What is before the first bar of a row: the pick-up of the pass or loop that begins with it, close to it; else what the line is. An ellipsis says that not all notes are there. */
function left({ bars, tune, gutter }: TuneRowView, row: ChartRow, { isAll, bars: laid }: LaidRow): Line {
  const first = row.slots[0]?.times.includes(tune.from) ? bars[tune.from] : undefined;
  const more = isAll ? '' : '…';
  if (!first || tune.ahead.length === 0)
    return fitLine([piece(laid.some((one) => one) ? `tune ${more}` : '', 'dim')], gutter);
  const tick = tune.now?.bar === tune.from && tune.now.tick < 0 ? tune.now.tick : null;
  const pieces = pickupPieces(tune.ahead, first, tick);
  const room = Math.max(0, gutter - 1 - lineWidth(pieces));
  return fitLine([piece(padText(more, room), 'dim'), ...pieces], gutter);
}

/** A pick-up in front of the first bar: its degrees, the one that sounds at a tick below zero marked. */
function pickupPieces(notes: readonly BarNote[], bar: PlayedBar, tick: number | null): readonly Piece[] {
  const at = (tick ?? 0) + 1e-6;
  return notes.flatMap(({ at: from, parts, note }): Piece[] => {
    if (!note.pitch) return [];
    const sounds = tick !== null && noteTick(bar, from) <= at && at < noteTick(bar, from + parts);
    return [piece(pitchDegree(note.pitch), sounds ? 'tune-on' : 'plain')];
  });
}
