import { bigText } from './big-text.js';
import { type Line, piece, type Style } from './line.js';

/** Breaks a sentence at spaces into lines of at most `width`. */
export function wrapWords(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return line === '' ? lines : [...lines, line];
}

/** A sentence across a screen of this many columns, a little in from both sides. */
export function wordLines(text: string, columns: number, style: Style = 'plain'): Line[] {
  return wrapWords(text, columns - 4).map((line): Line => [piece('  '), piece(line, style)]);
}

/** A short text in block letters, as far in as sentences are. */
export function largeLines(text: string, unicode: boolean, style: Style): Line[] {
  return bigText(text, { scale: 2, unicode }).map((line): Line => [piece('  '), piece(line, style)]);
}
