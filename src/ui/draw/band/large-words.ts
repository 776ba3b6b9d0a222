import { wrapText } from '../../../base/wrap-text.js';
import { bigHeight, bigText, bigWidth } from '../big-text.js';
import { fitText, type Line, piece, type Style, textWidth } from '../line.js';
import { wordFont } from '../word-letters.js';

/** The room that words are drawn in, and how. */
export interface WordRoom {
  readonly columns: number;
  readonly lines: number;
  readonly unicode: boolean;
  readonly style: Style;
  /** The largest scale of the letters; 2 when absent. */
  readonly most?: number;
}

/**
 * Words as large as their room allows, whole: in block letters, else in letters that are set apart, else plain. Always `lines` lines;
 * only where even plain text has no room is it cut. The text has to be fit for a terminal.
 */
export function largeWords(text: string, room: WordRoom): Line[] {
  const { lines, style } = room;
  const drawn =
    lines <= 0 ? [] : (blockWords(text, room) ?? apartWords(text, room) ?? plainWords(text, room));
  return Array.from({ length: Math.max(0, lines) }, (_, index): Line => {
    const one = drawn[index] ?? '';
    return one.trim() === '' ? [] : [piece(one, style)];
  });
}

/** The text as it is written in block letters; `null` where there is a sign without one. */
export function blockSigns(text: string): string | null {
  const signs = text
    .replace(/[‘’]/g, "'")
    .replace(/[“”]/g, '"')
    .replace(/[–—]/g, '-')
    .replace(/…/g, '...')
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toUpperCase();
  return [...signs].every((sign) => sign in wordFont.letters) ? signs : null;
}

function blockWords(text: string, { columns, lines, unicode, most = 2 }: WordRoom): string[] | null {
  const signs = blockSigns(text);
  if (signs === null || signs.trim() === '') return null;
  for (let scale = most; scale > 0; scale -= 1) {
    const look = { scale, unicode };
    const height = bigHeight(look, wordFont);
    // Letters of an odd number of half lines have air below them; others need a line of it.
    const step = height + ((wordFont.tall * scale) % 2 === 1 && unicode ? 0 : 1);
    // Between two words there are the gaps of letters as well.
    const space = bigWidth('a a', look, wordFont) - 2 * bigWidth('a', look, wordFont);
    const widthOf = (one: string): number => (one === ' ' ? space : bigWidth(one, look, wordFont));
    const rows = wrapText(signs, columns, widthOf);
    const isWhole = rows.every((row) => bigWidth(row, look, wordFont) <= columns) && !isBroken(signs, rows);
    if (!isWhole || (rows.length - 1) * step + height > lines) continue;
    return rows.flatMap((row) => {
      const drawn = bigText(row, look, wordFont);
      return [...drawn, ...Array.from({ length: step - height }, () => '')];
    });
  }
  return null;
}

/** Whether a word had to be cut. */
function isBroken(text: string, rows: readonly string[]): boolean {
  return rows.join(' ').split(' ').length > text.split(/\s+/).filter((one) => one !== '').length;
}

function apartWords(text: string, { columns, lines }: WordRoom): string[] | null {
  const apart = (word: string): string => [...word].join(' ');
  const rows = wrapText(
    text,
    columns,
    (one) => textWidth(apart(one === ' ' ? '   ' : one)) - (one === ' ' ? 2 : 0),
  );
  const isWhole = rows.every((row) => textWidth(apart(row)) <= columns) && !isBroken(text, rows);
  return isWhole && rows.length <= lines ? rows.map(apart) : null;
}

function plainWords(text: string, { columns, lines }: WordRoom): string[] {
  const rows = wrapText(text, columns);
  if (rows.length <= lines) return [...rows];
  return [...rows.slice(0, lines - 1), fitText(rows.slice(lines - 1).join(' '), columns)];
}
