import { textWidth } from '../../base/text-width.js';

export { textWidth };

/** How a piece of text is drawn; what each means in colours is the theme's affair. */
export type Style =
  | 'plain'
  | 'dim'
  | 'title'
  | 'number'
  | 'chord'
  | 'here'
  | 'rail'
  | 'cue'
  | 'rail-on'
  | 'tune-on'
  | 'finger'
  | 'move'
  | 'count'
  | 'warn'
  | 'key';

/** A piece of text in one style. */
export interface Piece {
  readonly text: string;
  readonly style: Style;
}

/** One line of the screen: pieces from left to right. */
export type Line = readonly Piece[];

/** A piece. */
export function piece(text: string, style: Style = 'plain'): Piece {
  return { text, style };
}

/** Columns a line takes on the screen. */
export function lineWidth(line: Line): number {
  return line.reduce((sum, one) => sum + textWidth(one.text), 0);
}

/** Text cut to at most `width` columns; what is cut off is announced by an ellipsis. */
export function fitText(text: string, width: number): string {
  if (textWidth(text) <= width) return text;
  if (width <= 0) return '';
  let fitting = '';
  for (const character of text) {
    if (textWidth(fitting + character) > width - 1) break;
    fitting += character;
  }
  return `${fitting}…`;
}

/** Text filled up with spaces to exactly `width` columns, or cut to it. */
export function padText(text: string, width: number): string {
  const fitted = fitText(text, width);
  return fitted + ' '.repeat(Math.max(0, width - textWidth(fitted)));
}

/** A line of exactly `width` columns: filled up with spaces, or cut with an ellipsis. */
export function fitLine(line: Line, width: number): Line {
  const fitted: Piece[] = [];
  let left = width;
  for (const one of line) {
    const width = textWidth(one.text);
    if (width > left) {
      fitted.push({ ...one, text: fitText(one.text, left) });
      left = 0;
      break;
    }
    fitted.push(one);
    left -= width;
  }
  return left > 0 ? [...fitted, piece(' '.repeat(left))] : fitted;
}

/** Exactly `height` lines of exactly `columns` columns: cut, or filled up with empty ones. */
export function fillLines(lines: readonly Line[], columns: number, height: number): Line[] {
  const cut = lines.slice(0, height).map((line) => fitLine(line, columns));
  return [
    ...cut,
    ...Array.from({ length: Math.max(0, height - cut.length) }, (): Line => [piece(' '.repeat(columns))]),
  ];
}

/** Two lines side by side, the first `width` columns wide. */
export function beside(left: Line, width: number, right: Line): Line {
  return [...fitLine(left, width), ...right];
}

/** The line's text without styles: for tests and for screens without any. */
export function plainText(line: Line): string {
  return line.map((one) => one.text).join('');
}
