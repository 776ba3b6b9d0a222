import { safeText } from '../../../base/safe-text.js';
import { wrapText } from '../../../base/wrap-text.js';
import { fitText, type Line, piece } from '../line.js';

/** The leader's notes for all, on at most `most` lines; where there are more, the last one says so. */
export function noteLines(notes: readonly string[], columns: number, most: number): Line[] {
  const room = Math.max(1, columns - 4);
  const lines = notes.flatMap((text) => wrapText(safeText(text), room));
  const shown =
    lines.length <= most
      ? lines
      : [...lines.slice(0, most - 1), `${fitText(lines[most - 1] ?? '', room - 2)} …`];
  return shown.slice(0, Math.max(0, most)).map((text): Line => [piece('  '), piece(text, 'cue')]);
}
