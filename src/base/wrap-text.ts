import { textWidth } from './text-width.js';

/**
 * A text on as many lines as it needs, none wider than `width`: cut between words, and within one only where it is wider than a
 * line. Nothing is left out but the spaces between lines. `widthOf` measures; columns of a screen when absent.
 *
 * @example wrapText('the river took the mill', 10) // ['the river', 'took the', 'mill']
 */
export function wrapText(
  text: string,
  width: number,
  widthOf: (text: string) => number = textWidth,
): readonly string[] {
  const lines: string[] = [];
  let line = '';
  let taken = 0;
  const space = widthOf(' ');
  const put = (word: string, wide: number): void => {
    if (line !== '' && taken + space + wide > width) {
      lines.push(line);
      line = '';
      taken = 0;
    }
    taken += (line === '' ? 0 : space) + wide;
    line += (line === '' ? '' : ' ') + word;
  };
  for (const word of text.split(/\s+/).filter((one) => one !== '')) {
    const wide = widthOf(word);
    if (wide <= width) put(word, wide);
    else for (const part of wordParts(word, width, widthOf)) put(part, widthOf(part));
  }
  return line === '' ? lines : [...lines, line];
}

/** A word that is wider than a line, cut into parts that fit. A cut is between what people see as characters; each part has at least one. */
function wordParts(word: string, width: number, widthOf: (text: string) => number): readonly string[] {
  const parts: string[] = [];
  let part = '';
  let taken = 0;
  // Made for the few words that need it: the program starts sooner without.
  const graphemes = new Intl.Segmenter(undefined, { granularity: 'grapheme' });
  const segments = [...graphemes.segment(word)].flatMap(({ segment }) =>
    widthOf(segment) > width ? [...segment] : [segment],
  );
  for (const segment of segments) {
    const wide = widthOf(segment);
    if (part !== '' && taken + wide > width) {
      parts.push(part);
      part = '';
      taken = 0;
    }
    part += segment;
    taken += wide;
  }
  return part === '' ? parts : [...parts, part];
}
