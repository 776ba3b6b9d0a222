import { safeText } from '../../../base/safe-text.js';
import { wrapText } from '../../../base/wrap-text.js';
import type { MeetingPlace } from '../../../link/meeting-types.js';
import type { Model } from '../../state/model.js';
import { type Line, piece } from '../line.js';
import { largeWords } from './large-words.js';

/** Lines that the word may take: on a tall screen it is read from the other end of a room. */
function wordRoom(rows: number): number {
  if (rows >= 36) return 11;
  return rows >= 22 ? 6 : 3;
}

/** The word others join by, as large as the screen allows, what they type, and where the band meets. */
export function joinLines(
  { word, address, carried }: MeetingPlace,
  { size, look }: Pick<Model, 'size' | 'look'>,
): Line[] {
  const { columns, rows } = size;
  const shown = safeText(word);
  const room = {
    columns: columns - 4,
    lines: wordRoom(rows),
    unicode: look.unicode,
    style: 'title',
  } as const;
  // Where it has to be broken, it is behind a hyphen: that is no other word.
  const wide = largeWords(shown, room);
  const drawn = isLarge(wide) ? wide : broken(shown, room);
  const large = drawn.slice(0, drawn.findLastIndex((line) => line.length > 0) + 1);
  const command = carried ? `barkline join ${shown}` : `barkline join ${safeText(address)} --word ${shown}`;
  return [
    ...large.map((line): Line => [piece('  '), ...line]),
    [],
    ...typed('the others type  ', command, columns),
    ...(carried
      ? typed('where they find nobody  ', `barkline join ${safeText(address)} --word ${shown}`, columns)
      : []),
  ];
}

function broken(word: string, room: Parameters<typeof largeWords>[1]): Line[] {
  const parts = largeWords(word.replace(/-/g, '- '), room);
  return isLarge(parts) ? parts : largeWords(word, room);
}

/** Whether there is more of it than a line of text. */
function isLarge(lines: readonly Line[]): boolean {
  return lines.filter((line) => line.length > 0).length > 2;
}

/** What is typed, whole: on more lines where it is longer than one. */
function typed(label: string, command: string, columns: number): Line[] {
  const room = columns - 3 - label.length;
  if (room >= command.length) return [[piece(`  ${label}`, 'dim'), piece(command, 'key')]];
  return [
    [piece(`  ${label}`, 'dim')],
    ...wrapText(command, columns - 5).map((part): Line => [piece('    '), piece(part, 'key')]),
  ];
}
