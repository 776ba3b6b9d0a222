import { bigText, fitScale } from './big-text.js';
import { type Piece, padText, piece, type Style } from './line.js';

/** A label in its place: as large as the usual one of its kind would be there, smaller where it is longer, plain where nothing else fits. */
export function block(
  text: string,
  columns: number,
  lines: number,
  unicode: boolean,
  style: Style,
  usual: string,
): Piece[] {
  const empty = piece(' '.repeat(Math.max(0, columns)));
  const blank = Array.from({ length: lines }, () => empty);
  if (text === '' || columns <= 0) return blank;
  const scale = Math.min(fitScale(usual, columns, lines, unicode), fitScale(text, columns, lines, unicode));
  const drawn = scale > 0 ? bigText(text, { scale, unicode }) : [text];
  // Standing on the same line whatever their size, as letters do.
  const top = scale > 0 ? lines - drawn.length : Math.floor(lines / 2);
  drawn.forEach((line, index) => {
    blank[top + index] = piece(padText(line, columns), style);
  });
  return blank;
}
