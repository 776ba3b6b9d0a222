import { type Line, piece } from './line.js';

/** Keys by name, pairs of arrows, and letters that stand before what they do. */
const keys =
  /\b(?:Enter|Esc|Tab|Space|Backspace|End|Ctrl-C)\b|[←→↑↓](?: [←→↑↓])?|\b(?:Up Down|Left Right)\b|(?<=^ | {3})[a-zA-Z](?= )/g;

/** The last line of a list, with its keys as strong as those of the stand: ` type to search   Enter takes it   Esc back`. */
export function namedKeys(text: string): Line {
  let from = 0;
  const line = [...text.matchAll(keys)].flatMap((match) => {
    const before = piece(text.slice(from, match.index), 'dim');
    from = match.index + match[0].length;
    return [before, piece(match[0], 'key')];
  });
  return [...line, piece(text.slice(from), 'dim')].filter((one) => one.text !== '');
}
