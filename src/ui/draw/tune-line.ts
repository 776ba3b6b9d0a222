import { type PlayedBar, quartersPerBeat } from '../../chart/chart.js';
import type { BarNote } from '../../chart/tune/bar-tunes.js';
import { pitchDegree } from '../../chart/tune/degrees-text.js';
import { barParts } from '../../chart/tune/play-tune.js';
import { partsPerQuarter } from '../../chart/tune/tune.js';
import { noteTick } from '../../time/note-tick.js';
import { type BarLook, span } from './bar.js';
import { fitLine, lineWidth, type Piece, piece } from './line.js';

/** A degree, `0` for silence, or `-` for a note that goes on in a further beat, at a place of a bar in parts of a quarter. */
interface Sign {
  readonly at: number;
  readonly text: string;
}

/** A bar to be drawn: its notes, its columns, and the tick that sounds in it; `null` where none does. */
export interface TuneBarView {
  readonly bar: PlayedBar;
  readonly notes: readonly BarNote[];
  readonly look: BarLook;
  readonly tick: number | null;
}

/**
 * How much of a tune is shown: all notes, or those that begin on whole multiples of so many parts of a quarter. `signs`: what that
 * leaves of each bar, a text for each beat or more.
 */
interface Level {
  readonly isAll: boolean;
  readonly bars: readonly Placed[];
}

/** The signs of a bar in columns: groups that belong together, each where it begins. */
interface Placed {
  readonly groups: readonly { readonly column: number; readonly signs: readonly Sign[] }[];
  readonly fits: boolean;
}

/** Shares of a beat that are tried when all notes do not fit, then multiples of it. */
const shares = [1 / 4, 1 / 3, 1 / 2, 1, 2, Number.POSITIVE_INFINITY];

/**
 * The line of the tune over a row: of all its bars as much as the narrowest has room for, so that the line can be read evenly.
 * `isAll`: whether all notes are there.
 */
export function tuneLine(bars: readonly (TuneBarView | null)[]): {
  readonly isAll: boolean;
  readonly pieces: readonly (Piece[] | null)[];
} {
  const shown = bars.filter((one) => one !== null);
  const level = levelOf(shown);
  let place = 0;
  const pieces = bars.map((one) => one && barPieces(one, level.bars[place++] as Placed));
  return { isAll: level.isAll, pieces };
}

function levelOf(bars: readonly TuneBarView[]): Level {
  const signs = bars.map(({ bar, notes }) => signsOf(bar, notes));
  const all = bars.map((one, index) => placed(one, signs[index] as readonly Sign[], 1));
  if (all.every(({ fits }) => fits)) return { isAll: true, bars: all };
  for (const share of shares) {
    const tried = bars.map((one, index) => {
      const own = signs[index] as readonly Sign[];
      return placed(
        one,
        own.filter(({ at }) => isOn(at, share, one.bar)),
        Math.max(1, share),
      );
    });
    if (tried.every(({ fits }) => fits) || share === shares.at(-1)) return { isAll: false, bars: tried };
  }
  return { isAll: false, bars: all };
}

/** Whether a place is a whole multiple of a share of the felt beat; of an endless one only the bar's start is. */
function isOn(at: number, share: number, bar: PlayedBar): boolean {
  return share === Number.POSITIVE_INFINITY ? at === 0 : at % Math.round(share * beatParts(bar)) === 0;
}

function beatParts({ meter }: PlayedBar): number {
  return Math.round(quartersPerBeat(meter) * partsPerQuarter);
}

/** The signs of a bar in order: where a note or a silence begins, and in each further beat that it goes on into. */
function signsOf(bar: PlayedBar, notes: readonly BarNote[]): readonly Sign[] {
  const beat = beatParts(bar);
  const length = barParts(bar);
  const signs: Sign[] = [];
  const put = (from: number, to: number, first: string, further: string): void => {
    const text = first === '' && from % beat === 0 ? further : first;
    if (text !== '' && from < to) signs.push({ at: from, text });
    for (let at = (Math.floor(from / beat) + 1) * beat; at < to; at += beat)
      signs.push({ at, text: further });
  };
  let at = 0;
  for (const { at: from, parts, note, tied } of notes) {
    if (from > at) put(at, from, '0', '0');
    const to = Math.min(length, from + parts);
    put(from, to, tied || !note.pitch ? '' : pitchDegree(note.pitch), '-');
    at = Math.max(at, to);
  }
  if (at < length) put(at, length, '0', '0');
  return signs;
}

/** Puts the signs of each so many beats together, over their beats of the rail or as near as there is room, a space between. */
function placed({ bar, look }: TuneBarView, signs: readonly Sign[], beats: number): Placed {
  const { room } = span(bar, look);
  const rail = Math.ceil(bar.beats);
  const starts = (beat: number): number => Math.floor((Math.min(beat, rail) * room) / rail);
  const groups: { beat: number; signs: Sign[]; width: number }[] = [];
  for (const sign of signs) {
    const beat = Math.floor(sign.at / beatParts(bar));
    const last = groups.at(-1);
    const first = beats === Number.POSITIVE_INFINITY ? 0 : beat - (beat % beats);
    if (last?.beat === first) {
      last.signs.push(sign);
      last.width += sign.text.length;
    } else groups.push({ beat: first, signs: [sign], width: sign.text.length });
  }
  const sum = groups.reduce((total, { width }) => total + width, 0);
  if (sum + groups.length - 1 > room) {
    // Right over the rail they are told apart without spaces.
    const fits = groups.every(
      ({ beat, width }) => width <= starts(beat + Math.min(beats, rail)) - starts(beat),
    );
    return { groups: groups.map(({ beat, signs }) => ({ column: starts(beat), signs })), fits };
  }
  const columns: number[] = [];
  groups.forEach(({ beat }, index) => {
    const free = index === 0 ? 0 : (columns[index - 1] as number) + (groups[index - 1]?.width ?? 0) + 1;
    columns.push(Math.max(starts(beat), free));
  });
  let end = room;
  for (let index = groups.length - 1; index >= 0; index -= 1) {
    columns[index] = Math.min(columns[index] as number, end - (groups[index]?.width ?? 0));
    end = (columns[index] as number) - 1;
  }
  return {
    groups: groups.map(({ signs }, index) => ({ column: columns[index] as number, signs })),
    fits: true,
  };
}

/** The sign that stands for what sounds at a tick: the last one that is shown, unless there is silence. */
function soundingSign({ bar, notes, tick }: TuneBarView, signs: readonly Sign[]): Sign | null {
  if (tick === null) return null;
  const at = tick + 1e-6;
  const sounds = notes.some(
    (note) => noteTick(bar, note.at) <= at && at < noteTick(bar, note.at + note.parts),
  );
  const sign = sounds ? signs.findLast((one) => noteTick(bar, one.at) <= at) : undefined;
  return sign && sign.text !== '0' ? sign : null;
}

function barPieces(view: TuneBarView, { groups }: Placed): Piece[] {
  const { bar, look } = view;
  const { before } = span(bar, look);
  const sounding = soundingSign(
    view,
    groups.flatMap(({ signs }) => signs),
  );
  const pieces: Piece[] = [];
  let column = -before.length;
  for (const { column: start, signs } of groups) {
    if (start > column) pieces.push(piece(' '.repeat(start - column)));
    for (const sign of signs) pieces.push(signPiece(sign, sign === sounding));
    column = Math.max(column, start) + signs.reduce((sum, { text }) => sum + text.length, 0);
  }
  return lineWidth(pieces) <= look.width
    ? [...fitLine(pieces, look.width)]
    : [...fitLine(pieces, look.width - 1), piece(' ')];
}

function signPiece({ text }: Sign, sounds: boolean): Piece {
  if (sounds) return piece(text, 'tune-on');
  return piece(text, text === '0' || text === '-' ? 'dim' : 'plain');
}

/** A pick-up in front of the first bar: its degrees, the one that sounds at a tick below nought marked. */
export function pickupPieces(
  notes: readonly BarNote[],
  bar: PlayedBar,
  tick: number | null,
): readonly Piece[] {
  return notes.flatMap(({ at, parts, note }): Piece[] => {
    if (!note.pitch) return [];
    const sounds =
      tick !== null && noteTick(bar, at) <= tick + 1e-6 && tick + 1e-6 < noteTick(bar, at + parts);
    return [signPiece({ at, text: pitchDegree(note.pitch) }, sounds)];
  });
}
