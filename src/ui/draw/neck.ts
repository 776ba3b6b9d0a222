import { type Finger, type Fingering, fingerNames } from '../../hand/fingering.js';
import type { Instrument } from '../../hand/instrument.js';
import { type Line, type Piece, piece } from './line.js';

/** The frets that are drawn, both included. */
export interface FretWindow {
  readonly from: number;
  readonly to: number;
}

/** How a shape is drawn. */
export interface NeckView {
  readonly instrument: Instrument;
  readonly fingering: Fingering;
  readonly window: FretWindow;
  /** Columns one fret takes. */
  readonly fretWidth: number;
  /** Fingers that have to move; the others stay, or stand. */
  readonly moving: ReadonlySet<Finger>;
  readonly unicode: boolean;
}

/** Columns before the first fret. */
const labelWidth = 3;
/** Frets that must be in sight for the widest shapes; narrower frets are drawn where they would not be. */
const widestShape = 7;
const noteNames = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

/** The frets to draw for two shapes so that both can be compared, at most `most` of them; else each its own. */
export function fretWindows(
  one: Fingering | null,
  other: Fingering | null,
  most: number,
): [FretWindow, FretWindow] {
  const own = (fingering: Fingering | null): FretWindow => spread(fretsOf(fingering), most);
  const both = [...fretsOf(one), ...fretsOf(other)];
  if (both.length > 0 && Math.max(...both) - Math.min(...both) < most) {
    const window = spread(both, most);
    return [window, window];
  }
  return [own(one), own(other)];
}

function fretsOf(fingering: Fingering | null): number[] {
  return (fingering?.frets ?? []).filter((at) => at !== null && at > 0) as number[];
}

/** A window of exactly `most` frets around those that are needed. */
function spread(needed: readonly number[], most: number): FretWindow {
  const low = needed.length === 0 ? 1 : Math.min(...needed);
  const high = needed.length === 0 ? most : Math.max(...needed);
  const spare = Math.max(0, most - (high - low + 1));
  const from = Math.max(1, low - Math.floor(spare / 2));
  return { from, to: from + most - 1 };
}

/** How many frets are drawn in a width, and how wide each is. */
export function fretGrid(width: number): { frets: number; fretWidth: number } {
  const room = width - labelWidth;
  const fretWidth = Math.floor(room / 4) >= widestShape ? 4 : 3;
  return { frets: Math.max(1, Math.min(12, Math.floor(room / fretWidth))), fretWidth };
}

/**
 * Draws a shape along the neck as the player sees it looking down: nut left, bass course at the bottom.
 * Fingers stand as letters, i m r l, since a figure could be a chord. The last line has the frets.
 */
export function neckLines(view: NeckView): Line[] {
  const { instrument, window } = view;
  const lines: Line[] = [];
  for (let course = instrument.courses.length - 1; course >= 0; course -= 1)
    lines.push(courseLine(view, course));
  const frets: string[] = [];
  for (let at = window.from; at <= window.to; at += 1)
    frets.push(String(at).padStart(2).padEnd(view.fretWidth));
  lines.push([piece(' '.repeat(labelWidth) + frets.join(''), 'dim')]);
  return lines;
}

function courseLine(
  { instrument, fingering, window, fretWidth, moving, unicode }: NeckView,
  course: number,
): Line {
  const at = fingering.frets[course] ?? null;
  const finger = fingering.fingers[course] ?? null;
  const open = noteNames[(instrument.courses[course]?.open ?? 0) % 12] as string;
  const damped = at === null;
  const rings = at === 0;
  const string = unicode ? (damped ? '╌' : '─') : damped ? '.' : '-';
  const wire = unicode ? '┼' : '|';
  const nut = window.from === 1 ? (unicode ? '║' : '#') : wire;
  // An open course rings: a ring on the nut says so.
  const pieces: Piece[] = [piece(open.padEnd(2), 'dim'), rings ? piece('o', 'finger') : piece(nut, 'dim')];
  for (let place = window.from; place <= window.to; place += 1) {
    if (place === at && finger !== null) {
      const letter = (fingerNames[finger][0] ?? '?').toUpperCase();
      pieces.push(
        piece(string, 'dim'),
        piece(letter, moving.has(finger) ? 'move' : 'finger'),
        piece(string.repeat(fretWidth - 3) + wire, 'dim'),
      );
    } else pieces.push(piece(string.repeat(fretWidth - 1) + wire, 'dim'));
  }
  return pieces;
}
