import { type PlayedBar, quartersPerBeat } from '../../chart/chart.js';
import { pitchDegree } from '../../chart/tune/degrees-text.js';
import { barParts } from '../../chart/tune/play-tune.js';
import { partsPerQuarter } from '../../chart/tune/tune.js';
import type { BarNote } from '../../chart/tune/tune-by-bars.js';
import { noteTick } from '../../time/note-tick.js';

/** A degree, `0` for silence, or `-` for a note that goes on in a further beat, at a place of a bar in parts of a quarter. */
interface Sign {
  readonly at: number;
  readonly text: string;
}

/** A sign in the columns of its bar; it stands for what sounds from its tick on. */
export interface PlacedSign extends Sign {
  readonly column: number;
  readonly tick: number;
}

/** A bar to be laid out: its notes, and the columns for them. */
export interface TuneBar {
  readonly bar: PlayedBar;
  readonly notes: readonly BarNote[];
  readonly room: number;
}

/** The line of the tune over a row: the signs of each bar. `isAll`: whether all notes are there. */
export interface TuneLine {
  readonly isAll: boolean;
  readonly bars: readonly (readonly PlacedSign[])[];
}

/**
 * Shares of a beat that are tried when not all notes fit, then multiples of it: notes that begin elsewhere are left out. A beat of
 * three eighths is divided by six and three in place of four and two.
 */
const shares = [1 / 4, 1 / 2, 1, 2, Number.POSITIVE_INFINITY];

/**
 * Lays the tune of a row out: of all its bars as much as the narrowest has room for, so that the line can be read evenly. First all
 * notes, then those on parts of the beat, on beats, on every second beat, on the first.
 */
export function layOutTune(bars: readonly TuneBar[]): TuneLine {
  const signs = bars.map(({ bar, notes }) => signsOf(bar, notes));
  const all = bars.map((one, index) => placed(one, signs[index] as readonly Sign[], 1));
  if (all.every((one) => one.fits)) return { isAll: true, bars: all.map((one) => one.signs) };
  for (const share of shares) {
    const tried = bars.map((one, index) => {
      const kept = (signs[index] as readonly Sign[]).filter(({ at }) => isOn(at, share, one.bar));
      return placed(one, kept, Math.max(1, share));
    });
    if (tried.every((one) => one.fits) || share === Number.POSITIVE_INFINITY)
      return { isAll: false, bars: tried.map((one) => one.signs) };
  }
  return { isAll: false, bars: [] };
}

/** Whether a place is a whole multiple of a share of the felt beat; of an endless one only the bar's start is. */
function isOn(at: number, share: number, bar: PlayedBar): boolean {
  if (share === Number.POSITIVE_INFINITY) return at === 0;
  const own = share < 1 && quartersPerBeat(bar.meter) === 1.5 ? share / 1.5 : share;
  return at % Math.round(own * beatParts(bar)) === 0;
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

/** Signs of one beat or several, which stand together. */
interface Group {
  readonly beat: number;
  readonly signs: Sign[];
  width: number;
}

/** Puts the signs of each so many beats together, over their beats of the rail or as near as there is room, a space between. */
function placed(
  { bar, room }: TuneBar,
  signs: readonly Sign[],
  beats: number,
): { readonly signs: readonly PlacedSign[]; readonly fits: boolean } {
  const rail = Math.ceil(bar.beats);
  const start = (beat: number): number => Math.floor((Math.min(beat, rail) * room) / rail);
  const groups = grouped(bar, signs, beats);
  const least = groups.reduce((sum, { width }) => sum + width + 1, -1);
  // Right over the rail beats are told apart without spaces.
  const fits =
    least <= room ||
    groups.every(({ beat, width }) => width <= start(beat + Math.min(beats, rail)) - start(beat));
  const columns = groups.map(({ beat }) => start(beat));
  if (least <= room) {
    for (let index = 1; index < groups.length; index += 1)
      columns[index] = Math.max(columns[index] as number, endOf(groups, columns, index - 1) + 1);
    for (let index = groups.length - 1, end = room; index >= 0; index -= 1) {
      columns[index] = Math.min(columns[index] as number, end - (groups[index] as Group).width);
      end = (columns[index] as number) - 1;
    }
  }
  return {
    fits,
    signs: groups.flatMap((group, index) => {
      let column = columns[index] as number;
      return group.signs.map((sign): PlacedSign => {
        const there = { ...sign, column, tick: noteTick(bar, sign.at) };
        column += sign.text.length;
        return there;
      });
    }),
  };
}

function endOf(groups: readonly Group[], columns: readonly number[], index: number): number {
  return (columns[index] as number) + (groups[index] as Group).width;
}

function grouped(bar: PlayedBar, signs: readonly Sign[], beats: number): readonly Group[] {
  const groups: Group[] = [];
  for (const sign of signs) {
    const beat = Math.floor(sign.at / beatParts(bar));
    const first = beats === Number.POSITIVE_INFINITY ? 0 : beat - (beat % beats);
    const last = groups.at(-1);
    if (last?.beat === first) {
      last.signs.push(sign);
      last.width += sign.text.length;
    } else groups.push({ beat: first, signs: [sign], width: sign.text.length });
  }
  return groups;
}

/** The sign that stands for what sounds at a tick of its bar: the last one that is shown; `null` in silence. */
export function soundingSign(
  { bar, notes }: Pick<TuneBar, 'bar' | 'notes'>,
  signs: readonly PlacedSign[],
  tick: number,
): PlacedSign | null {
  // A look that comes at the instant itself may be off by a rounding.
  const at = tick + 1e-6;
  const sounds = notes.some(
    (note) => noteTick(bar, note.at) <= at && at < noteTick(bar, note.at + note.parts),
  );
  const sign = sounds ? signs.findLast((one) => one.tick <= at) : undefined;
  return sign && sign.text !== '0' ? sign : null;
}
