import type { Place } from './chart.js';

/** A piece of a section's text with its place in the file. Cue and comment texts come without their marks. */
export interface Token extends Place {
  readonly kind:
    | 'word'
    | 'open'
    | 'close'
    | 'repeat-open'
    | 'repeat-close'
    | 'ending-open'
    | 'ending-close'
    | 'cue'
    | 'unended-cue'
    | 'comment';
  readonly text: string;
}

const pieces: readonly (readonly [kind: Token['kind'], pattern: RegExp])[] = [
  ['comment', /;(.*)$/suy],
  ['cue', /"([^"]*)"/uy],
  ['unended-cue', /"([^"]*)$/uy],
  ['repeat-open', /(\|:)/uy],
  ['repeat-close', /(:\|)/uy],
  ['ending-open', /\[([^\s[\]()";]*)/uy],
  ['ending-close', /(\])/uy],
  ['open', /(\()/uy],
  ['close', /(\))/uy],
  ['word', /((?:\|(?!:)|:(?!\|)|[^\s()[\]";:|])+)/uy],
];

/**
 * Cuts one line of a section into tokens. Every character that is not white space lands in a token, so
 * nothing is passed over in silence. `column` is that of the line's first character.
 */
export function tokenize(text: string, line: number, column: number): Token[] {
  const tokens: Token[] = [];
  let index = 0;
  let place = column;
  const forward = (to: number): void => {
    for (; index < to; place += 1) index += (text.codePointAt(index) as number) > 0xffff ? 2 : 1;
  };
  while (index < text.length) {
    const token = tokenAt(text, index);
    if (token === null) {
      forward(index + 1);
      continue;
    }
    tokens.push({ kind: token.kind, text: token.text, line, column: place });
    forward(token.end);
  }
  return tokens;
}

/** Where a word first stands by itself in a line of a section, in UTF-16; −1 where it does not. No more of the line is read than that. */
export function wordAt(text: string, word: string): number {
  for (let index = 0; index < text.length; ) {
    const token = tokenAt(text, index);
    if (token?.kind === 'word' && token.text === word) return index;
    index = token?.end ?? index + 1;
  }
  return -1;
}

function tokenAt(text: string, index: number): { kind: Token['kind']; text: string; end: number } | null {
  for (const [kind, pattern] of pieces) {
    pattern.lastIndex = index;
    const match = pattern.exec(text);
    if (match) {
      const inner = match[1] ?? '';
      return { kind, text: kind === 'comment' ? inner.trim() : inner, end: pattern.lastIndex };
    }
  }
  return null;
}
