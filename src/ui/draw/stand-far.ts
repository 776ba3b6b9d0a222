import { sights } from '../../band/parts.js';
import { chordLabel, numberLabel } from '../../chart/label.js';
import { fretsText } from '../../hand/fingering.js';
import type { PlannedChange } from '../../hand/plan.js';
import type { PassView } from '../../playback/pass-view.js';
import type { BandView } from '../state/band.js';
import type { Model } from '../state/model.js';
import type { StandView } from '../state/select.js';
import { playerOf } from './band/band-of.js';
import { farOfPart } from './band/far-part.js';
import { partView } from './band/part-body.js';
import type { PartView } from './band/part-view.js';
import { singerLines } from './band/singer.js';
import { type FarView, farLines } from './far.js';
import { glanceText, type HandView } from './hand-pane.js';
import { headLine } from './head.js';
import { fillLines, type Line, plainText } from './line.js';

/** The stand for reading across a room: number and chord now, beats until the next, and the next; `notice` is on its last line. */
export function standFar(
  model: Model,
  shown: StandView,
  view: PassView,
  hand: HandView,
  notice: Line,
  rows: number,
): Line[] {
  const { columns } = model.size;
  const { unicode } = model.look;
  const { bar, beat, counting } = shown.performance.cursor;
  const here = view.bars[bar];
  const part = partView(model, shown, view);
  if (part && sights[part.part].words && model.band)
    return [...fillLines(farSinger(model, model.band, shown, part, rows - 1), columns, rows - 1), notice];
  const chordOf = (change: PlannedChange | null) =>
    change && {
      number: numberLabel(change.number, unicode),
      chord: hand.names === 'numbers' ? '' : chordLabel(change.chord, unicode),
    };
  const coming = counting ? hand.now : hand.next;
  const far: FarView = {
    now: counting ? null : chordOf(hand.now),
    next: chordOf(coming),
    frets: coming?.fingering && hand.shown ? fretsText(coming.fingering.frets) : '',
    span: hand.span,
    beatsLeft: counting ? (here ? Math.ceil(here.beats) - (beat ?? 0) : null) : hand.beatsLeft,
    beat: counting ? null : beat,
    beats: Math.ceil(here?.beats ?? 4),
    counting: counting ? (beat ?? 0) + 1 : null,
    glance: wayOf(shown, hand),
    head: plainText(headLine(model, shown, columns - 1, 'word')).trim(),
    notice,
    foot: `${here?.section ?? ''} bar ${bar + 1} of ${view.bars.length}`,
    unicode,
  };
  return farLines(part ? farOfPart(far, part) : far, columns, rows);
}

/** What is asked after a pass, in place of the way: it is answered at a pedal, from where the instrument is held. */
const question = 'clean? · → yes, ← no';

/** The way of the hand, or what is asked. Drawn in letters of its own, it needs no Unicode; and while it is counted in, nothing is on its way yet. */
function wayOf({ performance, drill }: StandView, hand: HandView): string {
  if (drill?.ladder && drill.asking !== null) return question;
  return performance.cursor.counting ? '' : glanceText({ ...hand, unicode: true });
}

/** A singer across the room: the words, as large as they can be. */
function farSinger(model: Model, band: BandView, shown: StandView, part: PartView, rows: number): Line[] {
  const { columns } = model.size;
  const { bars, place, unicode } = part;
  return [
    headLine(model, shown, columns, 'word'),
    ...singerLines({ bars, place, player: playerOf(band), unicode }, columns, rows - 1),
  ];
}
