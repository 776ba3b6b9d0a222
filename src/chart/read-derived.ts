import { quoted } from '../base/safe-text.js';
import type { Excerpt, Item } from './chart.js';
import type { Faults } from './fault.js';
import { readOwnBars, type SectionContext, type SourceLine, writtenInLetters } from './read-section.js';
import { type Token, tokenize, wordAt } from './tokens.js';

const excerptPattern = /^(?:(all)|(first|last)\s+(\d+)|bars\s+(\d+)\s*-\s*(\d+))\s+of\s+(\S.*)$/;

/** Whether a section takes a piece from another section, rather than having only bars of its own. */
export function looksDerived(text: string): boolean {
  if (/^\s*(?:all|first|last|bars)\s/.test(text)) return true;
  // After the section's own bars the plus is a word by itself; one in a cue or a comment does not count.
  if (!/(?:^|\s)\+\s*(?:all|first|last|bars)\s/.test(text)) return false;
  return text
    .split('\n')
    .flatMap((line) =>
      tokenize(line, 1, 1).flatMap(({ kind, text: word }) => (kind === 'word' ? [word] : [])),
    )
    .some((word, index, words) => word === '+' && /^(?:all|first|last|bars)$/.test(words[index + 1] ?? ''));
}

/** A piece between plus signs: the text of each of its lines and where it stands. */
type Piece = readonly SourceLine[];

/**
 * Reads a derived section: `last 4 of C`, `all of V + first 8 of C`, `first 6 of V + 5 1`, on one line or several. Bars
 * of its own are all in numbers or all in letters, as in any section.
 */
export function readDerived(
  lines: readonly SourceLine[],
  context: SectionContext,
  faults: Faults,
): { readonly derived: Excerpt[]; readonly letters: boolean } {
  const pieces = piecesOf(lines);
  const own = new Map(
    pieces.filter((piece) => !isTaken(piece)).map((piece): [Piece, Token[][]] => [piece, tokensOf(piece)]),
  );
  const letters = writtenInLetters([...own.values()].flat());
  const derived = pieces.flatMap((piece): Excerpt[] => {
    const tokens = own.get(piece);
    if (!tokens) return readExcerpt(piece, faults);
    const items = ownBars(piece, tokens, letters, context, faults);
    return items ? [{ of: '', take: { kind: 'own', items } }] : [];
  });
  return { derived, letters };
}

/** The lines of each piece of a derived section that is bars of its own: what else stands there names other sections. */
export function ownPieces(lines: readonly SourceLine[]): readonly (readonly SourceLine[])[] {
  return piecesOf(lines).filter((piece) => !isTaken(piece));
}

function isTaken(piece: Piece): boolean {
  return /^(?:all|first|last|bars)(?:\s|$)/.test(plainText(piece));
}

/** The text of a piece on one line. */
function plainText(piece: Piece): string {
  return piece
    .map(({ text }) => text)
    .join(' ')
    .trim();
}

function tokensOf(piece: Piece): Token[][] {
  return piece.map(({ text, line, column }) => tokenize(text, line, column));
}

/** Where a piece's text begins. */
function placeOf(piece: Piece): SourceLine {
  const line = piece.find(({ text }) => text.trim() !== '') ?? (piece[0] as SourceLine);
  const before = line.text.length - line.text.trimStart().length;
  return {
    ...line,
    column: line.column + (line.text.trim() === '' ? 0 : [...line.text.slice(0, before)].length),
  };
}

/** Cuts at plus signs: at each one after a piece that is taken from elsewhere, and where one stands as a word after bars. */
function piecesOf(lines: readonly SourceLine[]): readonly Piece[] {
  const pieces: SourceLine[][] = [[]];
  // Whether the piece is taken from elsewhere: its first word says so.
  let taken: boolean | null = null;
  for (const line of lines) {
    let rest = line;
    for (;;) {
      const piece = pieces.at(-1) as SourceLine[];
      if (taken === null && /\S/.test(rest.text))
        taken = /^\s*(?:all|first|last|bars)(?:\s|$)/.test(rest.text);
      const plus = taken ? rest.text.indexOf('+') : wordAt(rest.text, '+');
      if (plus < 0) {
        piece.push(rest);
        break;
      }
      piece.push({ ...rest, text: rest.text.slice(0, plus) });
      const column = rest.column + [...rest.text.slice(0, plus + 1)].length;
      rest = { ...rest, text: rest.text.slice(plus + 1), column };
      pieces.push([]);
      taken = null;
    }
  }
  return pieces;
}

function readExcerpt(piece: Piece, faults: Faults): Excerpt[] {
  const text = plainText(piece);
  const match = excerptPattern.exec(text);
  if (!match) {
    faults.error(
      placeOf(piece),
      `${quoted(text)} does not say what to take from a section; write “last 4 of C”, “first 8 of V”, “bars 3-6 of V” or “all of V”`,
    );
    return [];
  }
  const [, all, side, bars, from, to, of = ''] = match;
  if (all) return [{ of, take: { kind: 'all' } }];
  if (side) return [{ of, take: { kind: side as 'first' | 'last', bars: Number(bars) } }];
  return [{ of, take: { kind: 'bars', from: Number(from), to: Number(to) } }];
}

/** The bars of a piece of its own, with cues and changes; what else a section can have is refused. */
function ownBars(
  piece: Piece,
  tokens: readonly Token[][],
  letters: boolean,
  context: SectionContext,
  faults: Faults,
): readonly Item[] | null {
  const before = faults.count;
  const items = readOwnBars(tokens, letters, context, faults);
  const other = items.find(({ kind }) => kind !== 'bar' && kind !== 'cue' && kind !== 'change');
  if (other)
    faults.error(
      other.place,
      'only bars, cues and changes can come between pieces of other sections; write this as a section of its own and take “all of” it',
    );
  const comment = tokens.flat().find(({ kind }) => kind === 'comment');
  if (comment) faults.error(comment, 'a comment cannot go here; write it with a # above the section’s name');
  if (faults.count === before && !items.some(({ kind }) => kind === 'bar'))
    faults.error(
      placeOf(piece),
      'something is missing next to this “+”; write a piece of a section, “last 4 of C”, or bars, “5 1”',
    );
  return faults.count === before ? items : null;
}
