import { capoFor, capoLetters, sights } from '../../../band/parts.js';
import { chordLabel, numberLabel } from '../../../chart/label.js';
import { keyNow } from '../../../playback/pass-view.js';
import { keyName, withSigns } from '../../../theory/key.js';
import { degreeText } from '../../../theory/number.js';
import { countdown } from '../hand-pane.js';
import { type Line, type Piece, padText, piece } from '../line.js';
import { runInto } from './bass-run.js';
import { capoText } from './capo-bars.js';
import {
  type ChordMoment,
  type ChordPlace,
  type ComingChord,
  chordMoment,
  sameChord,
  sameRoot,
} from './chords-ahead.js';
import { type FormMoment, formMoment, nextPartText } from './form-moment.js';
import { lettersAhead } from './letters-ahead.js';
import type { PaneBlock, PartPane } from './part-pane.js';
import type { PartView } from './part-view.js';
import { runLines } from './run-lines.js';

/** What is played now and what comes, for a part that reads letters or numbers; a singer's words are another matter. */
export function partPane(view: PartView): PartPane {
  const { performance, unicode } = view;
  const moment = momentOf(view);
  const key = keyText(view);
  const form = formMoment(view.bars, view.place);
  const blocks = {
    now: blockOf(view, 'now', moment.now, []),
    next: blockOf(view, 'next', moment.next, countdown(countOf(view, moment.next))),
    unicode,
  };
  const sight = sights[view.part];
  if (sight.capo)
    return {
      ...blocks,
      top: [piece(capoText(capoOf(view), keyNow(performance), unicode), 'key')],
      below: [thenLine(view, moment.after), ...lettersAhead(view, capoOf(view))],
    };
  if (sight.bass) {
    const run = moment.next && runInto(view.bars, performance.setup, moment.next);
    return { ...blocks, top: [piece(`key ${key}`, 'key')], below: runLines(run, unicode) };
  }
  return {
    ...blocks,
    top: [piece(`key ${key}`, 'key')],
    below: [thenLine(view, moment.after), ...formLines(form)],
  };
}

/** What is played now and what comes, as the part tells chords apart. */
export function momentOf(view: PartView): ChordMoment {
  const { bars, place, late, part } = view;
  const moment = chordMoment(bars, place, sights[part].bass ? sameRoot : sameChord);
  const isCalled = late === null || (moment.next !== null && moment.next.beats <= late);
  return { now: moment.now, next: isCalled ? moment.next : null, after: late === null ? moment.after : null };
}

/** The capo of a guitar or banjo: it stays where the song's own key wants it. */
export function capoOf({ performance, capo }: PartView) {
  return capoFor(performance.setup.key, capo);
}

/** How a part calls a chord: the letters it plays, and the number; empty for no chord. In the bass its lowest note. */
export function callOf(
  view: PartView,
  place: ChordPlace,
): { readonly number: string; readonly letters: string } {
  const { unicode } = view;
  const { cell, bar } = place;
  if (!cell.number || !cell.chord) return { number: '', letters: 'nc' };
  const sight = sights[view.part];
  if (sight.bass) {
    const { bass } = cell.number;
    const letters = cell.chord.bass ?? cell.chord.root;
    const number = degreeText(bass ?? cell.number);
    return unicode ? { number: withSigns(number), letters: withSigns(letters) } : { number, letters };
  }
  const number = numberLabel(cell.number, unicode);
  if (!sight.capo) return { number, letters: chordLabel(cell.chord, unicode) };
  const letters = capoLetters(bar, capoOf(view))[place.at] ?? '';
  return { number, letters: unicode ? withSigns(letters) : letters };
}

function countOf(view: PartView, next: ComingChord | null) {
  const waits = view.performance.cursor.waits === 'chord';
  return { beatsLeft: waits ? null : (next?.beats ?? null), hard: false, unicode: view.unicode };
}

/** Large is what the part reads: letters, or for a fiddle numbers; the other name stands above it. */
function blockOf(
  view: PartView,
  label: string,
  place: ChordPlace | null,
  behind: readonly Piece[],
): PaneBlock {
  if (!place) return { label: [piece(label, 'dim')], large: '', style: 'plain' };
  const { number, letters } = callOf(view, place);
  const sight = sights[view.part];
  const readsLetters = (sight.capo || sight.bass || view.names === 'chords') && view.names !== 'numbers';
  const small = view.names === 'both' || letters === 'nc' ? (readsLetters ? number : letters) : '';
  return {
    label: [
      piece(label.padEnd(6), 'dim'),
      piece(padText(small, 6), readsLetters ? 'number' : 'chord'),
      ...slashOf(view, place),
      ...behind,
    ],
    large: readsLetters || number === '' ? letters : number,
    style: readsLetters ? 'chord' : 'number',
  };
}

/** For a bass: the chord above a note that is not its root. */
function slashOf({ part, unicode }: PartView, { cell }: ChordPlace): Piece[] {
  if (!sights[part].bass || !cell.chord?.bass) return [];
  return [piece(`${chordLabel(cell.chord, unicode)} `, 'dim')];
}

function thenLine(view: PartView, after: ComingChord | null): Line {
  if (!after || view.performance.cursor.waits) return [];
  const { number, letters } = callOf(view, after);
  const names =
    view.names === 'numbers' ? number : view.names === 'chords' ? letters : `${letters} ${number}`;
  return [piece(`then ${names.trim()} in ${after.beats}`, 'dim')];
}

function formLines(form: FormMoment | null): readonly Line[] {
  if (!form) return [[], []];
  const { part, bar, of, next, cue } = form;
  const then = next ? `, ${nextPartText(next)}` : '';
  return [
    [piece(part, 'title'), piece(`  bar ${bar} of ${of}${then}`)],
    cue ? [piece(cue.text, 'cue'), piece(cue.bars === 0 ? '' : ` in ${cue.bars}`, 'dim')] : [],
  ];
}

function keyText({ performance, unicode }: PartView): string {
  const name = keyName(keyNow(performance));
  return unicode ? withSigns(name) : name;
}
