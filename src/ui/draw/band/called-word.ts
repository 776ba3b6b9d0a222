import { safeText } from '../../../base/safe-text.js';
import { fillLines, fitText, type Line, piece, textWidth } from '../line.js';
import { largeWords } from './large-words.js';

/** Lines that a caller's word takes at least in block letters. */
export function calledLines(unicode: boolean): number {
  return unicode ? 3 : 5;
}

/** A caller's word across the screen, as large as it can be on exactly `lines` lines, with who said it where there is room. */
export function calledWord(
  { from, text }: { readonly from: string; readonly text: string },
  columns: number,
  lines: number,
  unicode: boolean,
): Line[] {
  const said = fitText(safeText(from), 20);
  const room = columns - textWidth(said) - 5;
  const drawn = largeWords(safeText(text), { columns: room, lines, unicode, style: 'move', most: 3 });
  const shown = drawn.map((line, index): Line => {
    const one: Line = [piece('  '), ...line];
    if (index > 0) return one;
    const width = line.reduce((sum, { text }) => sum + textWidth(text), 2);
    return [
      ...one,
      piece(' '.repeat(Math.max(1, columns - width - textWidth(said) - 1))),
      piece(said, 'dim'),
    ];
  });
  return fillLines(shown, columns, lines);
}
