import { chordLabel, numberLabel } from '../../chart/label.js';
import { bigText, bigWidth } from './big-text.js';
import {
  afterLine,
  countdown,
  familyLines,
  glanceLine,
  type HandView,
  nextLines,
  nowLines,
  sentenceLines,
} from './hand-pane.js';
import { type Line, lineWidth, padText, piece } from './line.js';

/** Countdown and glance on one line; after or below it, as there is room, what comes after, the family or the sentence. */
export function promptBelow(hand: HandView, family: string, columns: number, room: number): Line[] {
  const glance: Line = [piece(' '), ...countdown(hand), piece(' '), ...glanceLine(hand)];
  const sentence = sentenceLines(hand, columns - 2);
  const after = afterLine(hand);
  const fits = lineWidth(glance) + lineWidth(after) + 4 <= columns;
  const gap = ' '.repeat(Math.max(2, columns - 1 - lineWidth(glance) - lineWidth(after)));
  const text = sentence.length > 0 ? sentence : [[piece(family, 'dim')]];
  const below = text.map((line): Line => [piece(' '), ...line]);
  return [fits ? [...glance, piece(gap), ...after] : glance, ...below].slice(0, room);
}

/** The hand from top to bottom: now, next, how and when, what comes after, the family. Each part has its place, so that nothing jumps. */
export function handColumn(hand: HandView, family: string, width: number, room: number): Line[] {
  const shapes = [nowLines(hand, width), nextLines(hand, width)];
  const used = shapes.reduce((sum, part) => sum + part.length, 1);
  const sentence = sentenceLines(hand, width);
  const said = sentence.length > 0 ? sentence : [glanceLine(hand)];
  const gaps = Math.min(3, Math.max(0, room - used - 7));
  const promptLines = [countdown(hand), ...cutLines(said, room - used - gaps)];
  const lies = familyLines(family, width).map((text): Line => [piece(text, 'dim')]);
  // What is less needed has the room that is left, whole or not at all.
  const left = room - used - gaps - said.length;
  const below = left >= 1 + lies.length ? [afterLine(hand), ...lies] : left >= 1 ? [afterLine(hand)] : [];
  const column = [...shapes, promptLines, below].flatMap((part, index) =>
    index > 0 && index <= gaps ? [[], ...part] : part,
  );
  const large = largeNext(hand, width);
  const spare = room - column.length - large.length;
  if (spare < 1) return column;
  // Large figures without a word would be taken for what is now.
  return [...column, ...(spare > 1 ? [[]] : []), [piece(hand.next ? 'next' : '', 'dim')], ...large];
}

/** Columns of the number in large figures, and how large they are. */
const numberColumns = 24;
const largeScale = 2;

/** Where there is room below everything: what comes, to be read from farther away. No figure stands beside its number, which could be taken for more of it. */
function largeNext({ next, unicode, names }: HandView, width: number): Line[] {
  const look = { scale: largeScale, unicode };
  const number = bigText(next ? numberLabel(next.number, unicode) : ' ', look);
  const label = next && names !== 'numbers' ? chordLabel(next.chord, unicode) : ' ';
  const fits = bigWidth(label, look) <= width - numberColumns;
  const chord = bigText(fits ? label : ' ', look);
  return number.map((line, index) => [
    piece(padText(line, Math.min(width, numberColumns)), 'number'),
    piece(fits ? (chord[index] ?? '') : '', 'chord'),
  ]);
}

/** This many lines; where some are left out, an ellipsis says so. */
function cutLines(lines: readonly Line[], most: number): readonly Line[] {
  if (lines.length <= most) return lines;
  const shown = lines.slice(0, Math.max(1, most));
  return [...shown.slice(0, -1), [...(shown.at(-1) ?? []), piece(' …')]];
}
