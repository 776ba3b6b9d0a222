import { textWidth } from './text-width.js';
import { wrapText } from './wrap-text.js';

/** Where columns of text are: the first one, the distance between them, and the end of the line. */
export interface TextColumns {
  readonly left: number;
  readonly each: number;
  readonly right: number;
}

/**
 * Texts over columns, side by side: each wrapped to the room up to the next column that has some, the last one's to the line's
 * end, going on indented. All end with the same line.
 */
export function textOverColumns(
  texts: readonly (readonly string[])[],
  { left, each, right }: TextColumns,
): readonly string[] {
  const places = texts.flatMap((own, place) => (own.length > 0 ? [place] : []));
  const blocks = places.map((place, index) => {
    const next = places[index + 1];
    const at = left + place * each;
    const room = (next === undefined ? right : left + next * each - 1) - at;
    return { at, lines: (texts[place] ?? []).flatMap((text) => indentedLines(text, Math.max(1, room))) };
  });
  const height = blocks.reduce((most, { lines }) => Math.max(most, lines.length), 0);
  return Array.from({ length: height }, (_, down) => {
    let line = '';
    for (const { at, lines } of blocks) {
      const text = lines[down - (height - lines.length)] ?? '';
      if (text !== '') line += ' '.repeat(Math.max(0, at - textWidth(line))) + text;
    }
    return line;
  });
}

/** A text on its lines; where it goes on it is indented, so that one text can be told from the next. */
export function indentedLines(text: string, room: number): readonly string[] {
  const indent = room > 12 ? 2 : 0;
  const [first = '', ...more] = wrapText(text, room);
  if (more.length === 0) return [first];
  const words = text.split(/\s+/).filter((one) => one !== '');
  // A word that was cut continues after the cut.
  let behind = words.join(' ').slice(first.length);
  if (behind.startsWith(' ')) behind = behind.slice(1);
  return [first, ...wrapText(behind, room - indent).map((line) => ' '.repeat(indent) + line)];
}
