import { safeText } from '../../../base/safe-text.js';
import { fitLine, fitText, type Line, lineWidth, type Piece, piece, textWidth } from '../line.js';

/** What the line of the band says. Texts may come from the network. */
export interface BandLine {
  /** Who has the break, or soon will; empty for nobody. */
  readonly break: readonly Piece[];
  /** This stand leads, and how many are here with it; else who does, `null` for nobody. */
  readonly leads: boolean;
  readonly here: number;
  readonly leader: string | null;
  /** What to say about the network, in several ways of which the first that fits is taken; none when all is well. */
  readonly trouble: readonly string[];
  /** Place in the set, from 1, and how many songs it has. */
  readonly song: { readonly at: number; readonly of: number } | null;
  /** Where the music is while this stand looks elsewhere: `bar 12, C`; `null` while it does not. */
  readonly ahead: string | null;
  readonly unicode: boolean;
}

/** Who leads, in a few words. */
export function leadText({
  leads,
  here,
  leader,
  unicode,
}: Pick<BandLine, 'leads' | 'here' | 'leader' | 'unicode'>): string {
  if (leads) return `you lead${unicode ? ' · ' : ', '}${here} here`;
  return leader === null ? 'nobody leads' : `${fitText(safeText(leader), 24)} leads the band`;
}

/** That this stand looks elsewhere, and where the music is. */
function awayTexts(place: string): readonly string[] {
  return [`looking elsewhere: the music is at ${place}`, `the music is at ${place}`];
}

/**
 * The line of the band: at the left whose break it is, then what must be known (that this stand looks elsewhere, what is the matter with
 * the network), at the right who leads, and which song of the set it is.
 */
export function bandLine(view: BandLine, columns: number): Line {
  const place = view.song ? `song ${view.song.at} of ${view.song.of}` : '';
  const { ahead, trouble } = view;
  const away = ahead === null ? [] : awayTexts(safeText(ahead));
  let line: Piece[] = [piece(' '), ...view.break];
  for (const [texts, style] of [
    [trouble.map(safeText), 'warn'],
    [away, 'move'],
  ] as const) {
    const before = line.length > 1 ? [...line, piece('   ')] : line;
    const text = texts.find((one) => lineWidth(before) + textWidth(one) <= columns) ?? texts.at(-1);
    if (text !== undefined) line = [...before, piece(text, style)];
  }
  if (lineWidth(line) > columns) line = [...fitLine(line, columns)];
  const quiet = [leadText(view), place].filter((one) => one !== '');
  // What only is as always has the room that is left, at the right, whole or not at all.
  const room = columns - lineWidth(line) - 1;
  const fitting: string[] = [];
  for (const one of quiet) if (textWidth([...fitting, one].join('   ')) + 3 <= room) fitting.push(one);
  if (fitting.length === 0) return line;
  const text = fitting.join('   ');
  return [...line, piece(' '.repeat(columns - lineWidth(line) - textWidth(text) - 1)), piece(text, 'dim')];
}
