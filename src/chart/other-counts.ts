import type { Token } from './tokens.js';

/** A count of times after `:|` in another notation: what to say, how many tokens it is, and whether it reads as a bar. */
export interface OtherCount {
  readonly says: string;
  readonly tokens: number;
  readonly isBar: boolean;
}

const words: readonly RegExp[] = [
  /^(\d+)[x×]$/i,
  /^[×*X](\d+)$/,
  /^[x×*] (\d+)$/i,
  /^(\d+) (?:[x×]|times)$/i,
  /^\( (?:[x×])?(\d+)[x×] \)$/i,
  /^\( [x×](\d+) \)$/i,
  /^\( [x×] (\d+) \)$/i,
];

/**
 * The count that stands at `index`, directly after a `:|`; `null` where none does. A figure alone at a line's end can be a bar.
 *
 * @example otherCount(tokenize(':| 3x', 1, 1), 1) // x3
 */
export function otherCount(tokens: readonly Token[], index: number): OtherCount | null {
  const text = (from: number, to: number): string =>
    tokens
      .slice(from, to)
      .map(({ kind, text: word }) =>
        kind === 'word' ? word : kind === 'open' ? '(' : kind === 'close' ? ')' : '|',
      )
      .join(' ');
  for (const length of [4, 3, 2, 1]) {
    const found = text(index, index + length);
    const times = words.map((pattern) => pattern.exec(found)?.[1]).find((one) => one !== undefined);
    if (times === undefined || (length > 1 && index + length > tokens.length)) continue;
    return { says: `the number of times is written “:| x${Number(times)}”`, tokens: length, isBar: false };
  }
  const rest = tokens.slice(index, index + 4).filter(({ kind }) => kind !== 'comment');
  const figure = /^(?:([2-7])|\( ([2-7]) \))$/.exec(text(index, index + rest.length));
  const times = figure?.[1] ?? figure?.[2];
  if (times === undefined) return null;
  return {
    says: `${times} after :| is read as a bar; the number of times is written “:| x${times}”`,
    tokens: 1,
    isBar: true,
  };
}
