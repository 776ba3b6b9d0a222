import { chordLabel, numberLabel } from '../../chart/label.js';
import type { KeyFamily } from '../../hand/family.js';
import { type Finger, type Fingering, fretsText } from '../../hand/fingering.js';
import { plainGlance } from '../../hand/glance.js';
import type { Instrument } from '../../hand/instrument.js';
import type { NeckSight } from '../../hand/neck-sight.js';
import type { PlannedChange } from '../../hand/plan.js';
import { prompt } from '../../hand/prompt.js';
import type { ChordNames } from '../state/sight.js';
import { hardSign } from './bar.js';
import { type Line, type Piece, piece, textWidth } from './line.js';
import { type FretWindow, fretGrid, fretWindows, neckLines } from './neck.js';
import { wrapWords } from './words.js';

/** What the hand pane shows. */
export interface HandView {
  readonly instrument: Instrument;
  readonly now: PlannedChange | null;
  readonly next: PlannedChange | null;
  /** Felt beats until the next change; `null` when there is none. */
  readonly beatsLeft: number | null;
  /** Felt beats from the change to what is held now until the next one; `null` when there is none. */
  readonly span: number | null;
  /** The change after the next, and the beats until then. */
  readonly after: { readonly change: PlannedChange; readonly beats: number } | null;
  /** Whether the next change is a hard one. */
  readonly hard: boolean;
  /** Whether the music runs: then the prompt is a glance, otherwise a sentence. */
  readonly running: boolean;
  readonly unicode: boolean;
  readonly sight: NeckSight;
  readonly names: ChordNames;
  /** Whether the hand is shown; otherwise the player knows it by heart. */
  readonly shown: boolean;
}

/** The shape that is held, with a word for when that is. Always as many lines: a head, the courses, the frets. */
export function nowLines(view: HandView, width: number, when = 'now'): Line[] {
  return shapeLines(when, view, width, { change: view.now, window: windows(view, width)[0] });
}

/** The shape that comes: which fingers move and from where, and which stay. As many lines as `nowLines`. */
export function nextLines(view: HandView, width: number): Line[] {
  const motion = view.next?.motion;
  const moving = new Set<Finger>([
    ...(motion?.moves ?? []).map((move) => move.finger),
    ...(motion?.lands ?? []).map((land) => land.finger),
  ]);
  return shapeLines('next', view, width, {
    change: view.next,
    window: windows(view, width)[1],
    moving,
    planted: new Set(motion?.planted ?? []),
    from: motion?.from ?? null,
  });
}

/** Beats of the countdown that are drawn. */
const mostBeats = 8;

/** How long until the change: a figure, and a bar that grows shorter with every beat, which is seen where a figure is not read. */
export function countdown({
  beatsLeft,
  hard,
  unicode,
}: Pick<HandView, 'beatsLeft' | 'hard' | 'unicode'>): Piece[] {
  if (beatsLeft === null) return [piece(' '.repeat(7 + mostBeats))];
  const full = Math.min(mostBeats, beatsLeft);
  const block = unicode ? '▮' : '#';
  const gone = unicode ? '·' : '.';
  return [
    piece(`in ${beatsLeft}`.padEnd(6), 'count'),
    piece(block.repeat(full), 'count'),
    piece(gone.repeat(mostBeats - full), 'dim'),
    piece(hard ? hardSign(unicode) : ' ', 'count'),
  ];
}

/** How the hand gets there, as a glance. */
export function glanceLine(view: HandView): Piece[] {
  const glance = glanceText(view);
  return glance === '' ? [] : [piece(glance, 'move')];
}

/** The glance as the player sees the neck; empty where there is none or it is hidden. */
export function glanceText({ next, sight, unicode, shown }: HandView): string {
  if (!next?.motion || !shown) return '';
  const { glance } = prompt(next.motion, sight);
  return unicode ? glance : plainGlance(glance);
}

/** The whole sentence, while nothing moves; broken into lines. */
export function sentenceLines({ next, running, shown, hard, sight }: HandView, width: number): Line[] {
  if (!next?.motion || running || !shown) return [];
  const sentence = prompt(next.motion, sight).sentence + (hard ? '; a hard change' : '');
  return wrapWords(sentence, width).map((text): Line => [piece(text)]);
}

/** The change after the next, in small. */
export function afterLine(view: HandView): Line {
  const { after, unicode, names, shown } = view;
  if (!after) return [];
  const { change, beats } = after;
  const chord = names === 'numbers' ? '' : ` ${chordLabel(change.chord, unicode)}`;
  const frets = change.fingering && shown ? `  ${fretsText(change.fingering.frets)}` : '';
  return [piece(`then ${numberLabel(change.number, unicode)}${chord}${frets} in ${beats}`, 'dim')];
}

function windows(view: HandView, width: number) {
  return fretWindows(view.now?.fingering ?? null, view.next?.fingering ?? null, fretGrid(width).frets);
}

interface ShapeDrawn {
  readonly change: PlannedChange | null;
  readonly window: FretWindow;
  readonly moving?: ReadonlySet<Finger>;
  readonly planted?: ReadonlySet<Finger>;
  readonly from?: Fingering | null;
}

function shapeLines(label: string, view: HandView, width: number, drawn: ShapeDrawn): Line[] {
  const { change } = drawn;
  const height = view.instrument.courses.length + 2;
  const head = shapeHead(label, view, change);
  const empty = (count: number): Line[] => Array.from({ length: count }, (): Line => []);
  if (!change?.fingering || !view.shown) {
    const why = !change
      ? ''
      : view.shown
        ? 'no closed shape is known for it'
        : 'hidden: h shows it, Tab peeks';
    return [head, [piece(why, 'dim')], ...empty(height - 2)];
  }
  const neck = neckLines({
    instrument: view.instrument,
    fingering: change.fingering,
    window: drawn.window,
    fretWidth: fretGrid(width).fretWidth,
    moving: drawn.moving ?? new Set(),
    planted: drawn.planted ?? new Set(),
    from: drawn.from ?? null,
    unicode: view.unicode,
    sight: view.sight,
  });
  const { remark } = change.fingering;
  return [remark === '' ? head : [...head, piece(` ${remark}`, 'dim')], ...neck];
}

function shapeHead(label: string, view: HandView, change: PlannedChange | null): Line {
  if (!change) return [piece(label, 'dim')];
  const { unicode, names, shown } = view;
  return [
    piece(label.padEnd(6), 'dim'),
    piece(numberLabel(change.number, unicode).padEnd(5), 'number'),
    piece((names === 'numbers' ? '' : chordLabel(change.chord, unicode)).padEnd(6), 'chord'),
    piece(change.fingering && shown ? fretsText(change.fingering.frets) : ''),
  ];
}

/** How the key lies under the hand: `A: four-finger family, 1 at 9-7-4-5`; of a hidden hand without the frets, which are what is asked. */
export function familyText({ name, one }: KeyFamily, key: string, isHidden = false): string {
  if (name === null || !one.fingering) return `${key}: no family is known on this instrument`;
  if (isHidden) return `${key}: ${name} family`;
  return `${key}: ${name} family, ${numberLabel(one.number, false)} at ${fretsText(one.fingering.frets)}`;
}

/** How the key lies under the hand: on one line, without the word that can be missed where there is no room for it, or else broken at its comma. */
export function familyLines(family: string, width: number): readonly string[] {
  const short = family.replace(' family, ', ', ');
  const fitting = [family, short].find((text) => textWidth(text) <= width);
  return fitting === undefined
    ? family.split(/(?<=,) /).flatMap((part) => wrapWords(part, width))
    : [fitting];
}
