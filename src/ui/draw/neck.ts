import { type Finger, type Fingering, fingerNames } from '../../hand/fingering.js';
import type { Instrument } from '../../hand/instrument.js';
import { type NeckSight, usualNeck } from '../../hand/neck-sight.js';
import { noteName } from '../../theory/pitch.js';
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
  /** Fingers that have to move, and those that stay planted; the others are placed afresh. */
  readonly moving: ReadonlySet<Finger>;
  readonly planted?: ReadonlySet<Finger>;
  /** The shape the hand comes from: the places that moving fingers leave are dotted. */
  readonly from?: Fingering | null;
  readonly unicode: boolean;
  readonly sight?: NeckSight;
}

/** Columns before the first fret. */
const labelWidth = 3;
/** Frets that must be in sight for the widest shapes; narrower frets are drawn where they would not be. */
const widestShape = 7;

/** The frets to draw for two shapes so that both can be compared, at most `most` of them; else each its own. */
export function fretWindows(
  one: Fingering | null,
  other: Fingering | null,
  most: number,
): [FretWindow, FretWindow] {
  const windowOf = (fingering: Fingering | null): FretWindow => spread(fretsOf(fingering), most);
  const both = [...fretsOf(one), ...fretsOf(other)];
  if (both.length > 0 && Math.max(...both) - Math.min(...both) < most) {
    const window = spread(both, most);
    return [window, window];
  }
  return [windowOf(one), windowOf(other)];
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
 * Draws a shape along the neck as the player sees it looking down: nut left, bass course at the bottom, or as `sight`
 * says. Fingers stand as letters, i m r l, since a figure could be a chord. The last line has the frets.
 */
export function neckLines(view: NeckView): Line[] {
  const { instrument, window, fretWidth, sight = usualNeck } = view;
  const courses = instrument.courses.map((_, course) => course);
  const lines = (sight.ceilingUp ? courses : courses.reverse()).map((course) => courseLine(view, course));
  const frets: Piece[] = [];
  for (let at = window.from; at <= window.to; at += 1)
    frets.push(
      piece(
        sight.mirrored
          ? String(at)
              .padStart(fretWidth - 1)
              .padEnd(fretWidth)
          : String(at).padStart(2).padEnd(fretWidth),
        'dim',
      ),
    );
  if (sight.mirrored) lines.push(frets.reverse());
  else lines.push([piece(' '.repeat(labelWidth), 'dim'), ...frets]);
  return lines;
}

function courseLine(view: NeckView, course: number): Line {
  const { instrument, fingering, window, unicode, sight = usualNeck } = view;
  const at = fingering.frets[course] ?? null;
  const open = noteName(instrument.courses[course]?.open ?? 0);
  const wire = unicode ? '┼' : '|';
  const nut = window.from === 1 ? (unicode ? '║' : '#') : wire;
  // An open course rings: a ring on the nut says so.
  const end = at === 0 ? piece('o', 'finger') : piece(nut, 'dim');
  const cells: Piece[] = [];
  for (let place = window.from; place <= window.to; place += 1) cells.push(...fretCell(view, course, place));
  return sight.mirrored
    ? [...cells.reverse(), end, piece(` ${open}`, 'dim')]
    : [piece(open.padEnd(2), 'dim'), end, ...cells];
}

/** One fret of a course: its string with a finger where one stands, and the wire behind. */
function fretCell(view: NeckView, course: number, place: number): Piece[] {
  const { fingering, fretWidth, moving, planted, unicode } = view;
  const at = fingering.frets[course] ?? null;
  const finger = fingering.fingers[course] ?? null;
  const damped = at === null;
  const string = unicode ? (damped ? '╌' : '─') : damped ? '.' : '-';
  const wire = unicode ? '┼' : '|';
  if (place === at && finger !== null) {
    const letter = (fingerNames[finger][0] ?? '?').toUpperCase();
    // A finger that stays lies between double strings, as if nailed: to be seen without colours too.
    const beside = planted?.has(finger) ? (unicode ? '═' : '=') : string;
    const style = moving.has(finger) ? 'move' : 'finger';
    const rest = fretWidth > 3 ? [piece(beside + string.repeat(fretWidth - 4), 'dim')] : [];
    return [piece(beside, 'dim'), piece(letter, style), ...rest, piece(wire, 'dim')];
  }
  if (leaves(view, course, place))
    return [
      piece(string, 'dim'),
      piece(unicode ? '∙' : ':', 'move'),
      piece(string.repeat(fretWidth - 3), 'dim'),
      piece(wire, 'dim'),
    ];
  return [piece(string.repeat(fretWidth - 1), 'dim'), piece(wire, 'dim')];
}

/** Whether a finger that moves comes from here. */
function leaves({ from, moving }: NeckView, course: number, place: number): boolean {
  const finger = from?.fingers[course] ?? null;
  return finger !== null && from?.frets[course] === place && moving.has(finger);
}
