import type { DiaryEntry } from '../diary.js';
import type { AskedMove, DictationKind } from './figures.js';
import { type MoveWeights, moveName } from './grammar.js';

/** How one move was heard. */
export interface MoveHeard {
  readonly from: string;
  readonly to: string;
  readonly asked: number;
  readonly right: number;
  /** How often nothing was answered in time. */
  readonly none: number;
  /** What it was taken for, and how often, most often first. */
  readonly takenFor: readonly { readonly number: string; readonly times: number }[];
}

/** The moves of a diary, the newest last; `asks`: only those of that kind. */
export function askedMoves(
  entries: readonly Pick<DiaryEntry, 'dictation' | 'result'>[],
  asks: DictationKind | null = null,
): readonly AskedMove[] {
  return entries.flatMap((entry) => {
    const { dictation } = entry;
    return dictation && (asks === null || dictation.asks === asks) && isCounted(entry) ? dictation.moves : [];
  });
}

/** Whether a phrase says how its moves are heard: one that went by without any answer does not, since nobody may have been there. */
export function isCounted({ dictation, result }: Pick<DiaryEntry, 'dictation' | 'result'>): boolean {
  return result !== 'unmarked' || (dictation?.moves.some(([, , answered]) => answered !== null) ?? false);
}

/** Which moves are taken for which: a line for each move, the ones most often misheard first. */
export function moveTable(moves: readonly AskedMove[]): readonly MoveHeard[] {
  const found = new Map<string, AskedMove[]>();
  for (const move of moves) {
    const name = moveName(move[0], move[1]);
    const list = found.get(name);
    if (list) list.push(move);
    else found.set(name, [move]);
  }
  return [...found.values()]
    .map(heardOf)
    .sort((one, other) => other.asked - other.right - (one.asked - one.right) || other.asked - one.asked);
}

function heardOf(moves: readonly AskedMove[]): MoveHeard {
  const [from, to] = moves[0] as AskedMove;
  const times = new Map<string, number>();
  for (const [, , answered, right] of moves)
    if (!right && answered !== null) times.set(answered, (times.get(answered) ?? 0) + 1);
  return {
    from,
    to,
    asked: moves.length,
    right: moves.filter(([, , , right]) => right).length,
    none: moves.filter(([, , answered]) => answered === null).length,
    takenFor: [...times]
      .map(([number, count]) => ({ number, times: count }))
      .sort((one, other) => other.times - one.times || (one.number < other.number ? -1 : 1)),
  };
}

/** This many of the last answers to a move tell how it is heard now. */
const lastAnswers = 12;
/** A move that is never heard right comes this much more often. */
const mostOften = 6;
/** From this share of wrong answers on, with two more right ones thought of, a move counts as misheard. */
const misheardFrom = 0.15;

/**
 * How much more often each move should come, by how its last dozen answers went: once where it is heard, up to seven times where it never
 * is. Two right answers are added to the count, so that one slip does not say much.
 */
export function moveWeights(moves: readonly AskedMove[]): MoveWeights {
  const last = new Map<string, AskedMove[]>();
  for (const move of moves) {
    const name = moveName(move[0], move[1]);
    last.set(name, [...(last.get(name) ?? []), move].slice(-lastAnswers));
  }
  const weights = new Map<string, number>();
  for (const [name, list] of last) {
    const wrong = list.filter(([, , , right]) => !right).length / (list.length + 2);
    if (wrong >= misheardFrom) weights.set(name, 1 + mostOften * wrong);
  }
  return weights;
}

/** A misheard move in words: `5 to 1, taken for 4: 3 of 8 times`. */
export function moveText({ from, to, asked, right, takenFor, none }: MoveHeard): string {
  const [most] = takenFor;
  const missed = asked - right;
  if (missed === 0) return `${from} to ${to}, heard: ${asked} of ${asked} times`;
  if (most && most.times >= none)
    return `${from} to ${to}, taken for ${most.number}: ${most.times} of ${asked} times`;
  return `${from} to ${to}, not answered: ${none} of ${asked} times`;
}
