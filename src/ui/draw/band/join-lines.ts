import { wrapText } from '../../../base/wrap-text.js';
import type { MeetingPlace } from '../../../link/meeting-types.js';
import { joinCommands, typedWord } from '../../state/join-words.js';
import type { Model } from '../../state/model.js';
import { type Line, piece, textWidth } from '../line.js';
import { largeWords } from './large-words.js';

/** How many lines the word may take: the most first, for a tall screen with few people in front of it. */
export const wordRooms = [11, 6, 3, 1] as const;

/**
 * The word others join by, as large as this many lines allow, what they type, and where the band meets. On one line of it only what is needed
 * is told.
 */
export function joinLines(
  place: MeetingPlace,
  { size: { columns }, look }: Pick<Model, 'size' | 'look'>,
  lines: number,
): Line[] {
  const { carried } = place;
  const shown = typedWord(place);
  const room = { columns: columns - 4, lines, unicode: look.unicode, style: 'title' } as const;
  const wide = largeWords(shown, room);
  const halves = inHalves(shown, room);
  const drawn = inkLines(halves) > 2 * inkLines(wide) ? halves : wide;
  const large = drawn.slice(0, drawn.findLastIndex((line) => line.length > 0) + 1);
  const { byWord, byAddress } = joinCommands(place);
  const isBrief = lines < 3;
  return [
    ...large.map((line): Line => [piece('  '), ...line]),
    ...(isBrief ? [] : [[]]),
    ...typedLines('the others type  ', carried ? byWord : byAddress, columns),
    ...(carried && !isBrief ? typedLines('where they find nobody  ', byAddress, columns) : []),
  ];
}

/** A word on two lines, broken after the hyphen that is nearest to its middle; none where it has no hyphen. */
function inHalves(word: string, room: Parameters<typeof largeWords>[1]): Line[] {
  const hyphens = [...word.matchAll(/-/g)].map(({ index }) => index + 1);
  const off = (at: number): number => Math.abs(2 * at - word.length);
  const [middle] = hyphens.sort((one, other) => off(one) - off(other));
  return middle === undefined ? [] : largeWords(`${word.slice(0, middle)} ${word.slice(middle)}`, room);
}

/** Lines that are not empty: on more than twice as many the letters of a half are larger. */
function inkLines(lines: readonly Line[]): number {
  return lines.filter((line) => line.length > 0).length;
}

/** What is typed, whole: on more lines where it is longer than one. */
function typedLines(label: string, command: string, columns: number): Line[] {
  if (columns - 3 - label.length >= textWidth(command))
    return [[piece(`  ${label}`, 'dim'), piece(command, 'key')]];
  return [
    [piece(`  ${label}`, 'dim')],
    ...wrapText(command, columns - 5).map((part): Line => [piece('    '), piece(part, 'key')]),
  ];
}
