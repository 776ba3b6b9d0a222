import { type Card, createEmptyCard, default_w, fsrs, type Grade, Rating } from 'ts-fsrs';
import type { DiaryEntry } from '../diary.js';
import { dayOf } from '../summary.js';
import type { AskedMove, DictationKind } from './figures.js';
import { moveName } from './grammar.js';
import { isCounted } from './move-table.js';

/** A move as the review knows it. */
export interface DueMove {
  /** `5>1`. */
  readonly move: string;
  readonly card: Card;
}

/** From this many right answers and no wrong one on, a day was easy. */
const easyFrom = 4;
/** Above this share of wrong answers the move was not known that day. */
const mostWrong = 1 / 3;

/** How a day of a move is graded, by its answers. */
export function moveGrade(moves: readonly AskedMove[]): Grade {
  const wrong = moves.filter(([, , , right]) => !right).length;
  if (wrong > moves.length * mostWrong) return Rating.Again;
  if (wrong > 0) return Rating.Hard;
  return moves.length >= easyFrom ? Rating.Easy : Rating.Good;
}

/** The schedule of every move that was asked: one review a day, by ts-fsrs with its default weights and without randomness, as for changes of the hand. */
export function moveReviews(entries: readonly DiaryEntry[], asks: DictationKind): readonly DueMove[] {
  const scheduler = fsrs({ w: default_w, enable_fuzz: false });
  const days = new Map<string, Map<string, { at: number; moves: AskedMove[] }>>();
  const inOrder = entries.toSorted((one, other) => one.at - other.at);
  for (const entry of inOrder) {
    const { at, dictation } = entry;
    if (!dictation || dictation.asks !== asks || !isCounted(entry)) continue;
    for (const move of dictation.moves) {
      const name = moveName(move[0], move[1]);
      const own = days.get(name) ?? new Map<string, { at: number; moves: AskedMove[] }>();
      days.set(name, own);
      const day = own.get(dayOf(at)) ?? { at, moves: [] };
      own.set(dayOf(at), { at, moves: [...day.moves, move] });
    }
  }
  return [...days].map(([move, own]): DueMove => {
    let card: Card | null = null;
    for (const { at, moves } of own.values()) {
      const when = new Date(at);
      card = scheduler.next(card ?? createEmptyCard(when), when, moveGrade(moves)).card;
    }
    return { move, card: card ?? createEmptyCard(new Date(0)) };
  });
}

/** The moves whose day has come, what has waited longest first. */
export function dueMoves(
  entries: readonly DiaryEntry[],
  asks: DictationKind,
  now: number,
): readonly string[] {
  return moveReviews(entries, asks)
    .filter(({ card }) => card.due.getTime() <= now)
    .sort((one, other) => one.card.due.getTime() - other.card.due.getTime())
    .map(({ move }) => move);
}
