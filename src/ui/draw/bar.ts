import { safeText } from '../../base/safe-text.js';
import { meterText, type PlayedBar } from '../../chart/chart.js';
import { chordLabel, numberLabel, wayMarks, withMarks } from '../../chart/label.js';
import { keyName, withSigns } from '../../theory/key.js';
import type { ChordNames } from '../state/sight.js';
import { fitLine, fitText, lineWidth, type Piece, piece, type Style, textWidth } from './line.js';

/** How a bar is drawn: its columns, and whether the cursor is in it. */
export interface BarLook {
  readonly width: number;
  readonly here: boolean;
  /** The felt beat that sounds, in the bar under the cursor; `null` while nothing moves. */
  readonly beat: number | null;
  readonly unicode: boolean;
  /** Signs before and after the bar: `|:`, `:|`. */
  readonly before: string;
  readonly after: string;
  /** Which of its chords are hard to reach. */
  readonly hard: readonly boolean[];
  /** Which of them are shown already. */
  readonly called: readonly boolean[];
}

/** The sign after a chord that is hard to reach. */
export function hardSign(unicode: boolean): string {
  return unicode ? '▴' : '*';
}

/** The line of a bar that is read first: its numbers with their marks, or its chords when those stand alone. */
export function firstLine(bar: PlayedBar, look: BarLook, names: ChordNames): Piece[] {
  const sounding = soundingCell(bar, look);
  const { before, room } = span(bar, look);
  const labels = firstLabels(bar, look, names);
  const cells = placed(bar, room, labels, names === 'both' ? secondLabels(bar, look) : []);
  const pieces = cells.flatMap(({ text, gap }, index): Piece[] => {
    const style: Style = index === sounding ? 'here' : 'number';
    const hard = look.hard[index] && text.endsWith(hardSign(look.unicode));
    const parts = hard
      ? [piece(text.slice(0, -1), style), piece(text.slice(-1), 'count')]
      : [piece(text, style)];
    return [...parts, piece(' '.repeat(Math.max(0, gap)))];
  });
  return within([piece(before, 'dim'), ...pieces, piece(look.after, 'dim'), piece(' ')], look.width);
}

function firstLabels({ cells }: PlayedBar, look: BarLook, names: ChordNames): readonly string[] {
  return cells.map((cell, index) => {
    const name =
      names === 'chords'
        ? cell.chord && chordLabel(cell.chord, look.unicode)
        : cell.number && numberLabel(cell.number, look.unicode);
    if (!look.called[index]) return look.unicode ? '·' : '.';
    return withMarks(name ?? 'nc', cell) + (look.hard[index] ? hardSign(look.unicode) : '');
  });
}

function secondLabels({ cells }: PlayedBar, look: BarLook): readonly string[] {
  return cells.map(({ chord }, index) =>
    chord && look.called[index] ? chordLabel(chord, look.unicode) : look.unicode ? '·' : '.',
  );
}

/** The line below: the chords in the key, where both names are shown. */
export function secondLine(bar: PlayedBar, look: BarLook, names: ChordNames): Piece[] {
  if (names !== 'both') return [piece(' '.repeat(look.width))];
  const { before, room } = span(bar, look);
  const cells = placed(bar, room, secondLabels(bar, look), firstLabels(bar, look, names));
  const pieces = [
    piece(' '.repeat(before.length)),
    ...cells.flatMap(({ text, gap }) => [piece(text, 'chord'), piece(' '.repeat(Math.max(0, gap)))]),
    piece(' '.repeat(look.after.length + 1)),
  ];
  return within(pieces, look.width);
}

/** The rail under a bar: a piece for each beat, the one that sounds drawn strong. */
export function railLine(bar: PlayedBar, look: BarLook): Piece[] {
  const { here, beat, unicode, before, after } = look;
  const { room } = span(bar, look);
  const beats = Math.ceil(bar.beats);
  const thin = unicode ? '─' : '-';
  const thick = unicode ? '━' : '=';
  const pieces: Piece[] = [piece(' '.repeat(before.length))];
  for (let index = 0; index < beats; index += 1) {
    const from = Math.floor((index * room) / beats);
    const to = Math.floor(((index + 1) * room) / beats);
    const on = here && beat !== null && index === beat;
    const past = here && beat !== null && index < beat;
    const length = Math.max(1, to - from - 1);
    pieces.push(
      piece((on || past ? thick : thin).repeat(length), on ? 'rail-on' : past ? 'plain' : 'rail'),
      piece(' '.repeat(Math.max(0, to - from - length))),
    );
  }
  return within([...pieces, piece(' '.repeat(after.length + 1))], look.width);
}

/** What is shown above a bar: its ending, cues, and what changes from here on; not yet what is said of its time (`timeMarksAt`). */
export function barMarks(bar: PlayedBar, previous: PlayedBar | undefined, unicode: boolean): string {
  const marks = [...wayMarks(bar), ...bar.cues.map((cue) => `“${safeText(cue)}”`)];
  if (previous) {
    const key = keyName(bar.key);
    if (key !== keyName(previous.key)) marks.push(`key ${unicode ? withSigns(key) : key}`);
    if (meterText(bar.meter) !== meterText(previous.meter)) marks.push(meterText(bar.meter));
    if (bar.tempo.bpm !== previous.tempo.bpm) marks.push(`tempo ${bar.tempo.bpm}`);
    if (bar.feel.swing !== previous.feel.swing) marks.push(`swing ${bar.feel.swing}`);
    if (bar.beats !== previous.beats && bar.meter === previous.meter) marks.push(`${bar.beats} beats`);
  }
  const text = marks.join(' ');
  return unicode ? text : text.replace(/[“”]/g, '"');
}

function soundingCell(bar: PlayedBar, { here, beat }: BarLook): number {
  if (!here) return -1;
  return beat === null ? 0 : bar.cells.findLastIndex((cell) => cell.at <= beat + 1e-9);
}

/** A bar with more chords than columns ends where the next one begins. */
function within(pieces: Piece[], width: number): Piece[] {
  return lineWidth(pieces) <= width ? pieces : [...fitLine(pieces, width - 1), piece('…', 'dim')];
}

/** The signs that fit, and the columns left for the chords. */
export function span(bar: PlayedBar, { width, before, after }: BarLook): { before: string; room: number } {
  const room = width - 1 - before.length - after.length;
  return { before, room: Math.max(bar.cells.length, room) };
}

/** A label as it fits, and the spaces after it. */
interface Placed {
  readonly text: string;
  readonly gap: number;
}

/**
 * Places each cell's label at its beat, or as near to it as its neighbours leave room for; only where all the labels are wider
 * than the bar are the widest cut with an ellipsis. `below`: labels of another line, which are in the same columns if both fit.
 */
function placed(
  { cells, beats }: PlayedBar,
  room: number,
  labels: readonly string[],
  below: readonly string[],
): Placed[] {
  const last = cells.length - 1;
  const space = room >= 2 * last + 1 ? 1 : 0;
  const most = room - space * last;
  const own = labels.map((label) => textWidth(label));
  const both = own.map((width, index) => Math.max(width, textWidth(below[index] ?? '')));
  const widths = sum(both) <= most ? both : narrowed(own, most);
  const texts = labels.map((label, index) => fitText(label, widths[index] as number));
  const starts: number[] = [];
  cells.forEach(({ at }, index) => {
    const free = index === 0 ? 0 : (starts[index - 1] as number) + (widths[index - 1] as number) + space;
    starts.push(Math.max(Math.floor((at / beats) * room), free));
  });
  for (let index = last, end = room; index >= 0; index -= 1) {
    starts[index] = Math.min(starts[index] as number, end - (widths[index] as number));
    end = (starts[index] as number) - space;
  }
  return texts.map((text, index) => ({
    text,
    gap: (starts[index + 1] ?? room) - (starts[index] as number) - textWidth(text),
  }));
}

/** Widths that come to no more than there is: the widest give, each keeps a column. */
function narrowed(widths: readonly number[], most: number): readonly number[] {
  const own = [...widths];
  for (let over = sum(own) - most; over > 0; over -= 1) {
    const widest = own.indexOf(Math.max(...own));
    if ((own[widest] as number) <= 1) break;
    own[widest] = (own[widest] as number) - 1;
  }
  return own;
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, one) => total + one, 0);
}
