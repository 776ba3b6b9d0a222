import { type BreakSight, breakAt, meansPart, type PartName } from '../../../band/parts.js';
import { safeText } from '../../../base/safe-text.js';
import type { PlayedBar } from '../../../chart/chart.js';
import { fitText, type Piece, piece } from '../line.js';
import type { PassPlace } from './chords-ahead.js';

/** Who looks at a stand: the part and the name, whether this stand leads, and what the leader is called. */
export interface Player {
  readonly part: PartName;
  readonly name: string;
  readonly leads: boolean;
  /** `null` while nobody leads. */
  readonly leader: string | null;
}

/** Who has the break, seen by one of the band. In a chart `me` is whoever leads. */
export function breakSight(bars: readonly PlayedBar[], place: PassPlace, player: Player): BreakSight {
  const { range, bar, goesRound } = place;
  const isWhole = range.from === 0 && range.to === bars.length;
  const isMine = (who: string | null): boolean => means(who, player);
  return isWhole
    ? breakAt(bars, bar, goesRound, isMine)
    : breakAt(bars.slice(range.from, range.to), bar - range.from, goesRound, isMine);
}

/** Whether somebody of the form is this player. */
export function means(who: string | null, { part, name, leads }: Player): boolean {
  return meansPart(who, part, name, leads);
}

/** Columns of a name at most. */
const mostName = 16;

/** What the form calls somebody, for the stand of one of the band. */
export function whoText(who: string, { leader }: Player): string {
  const name = who.trim().toLowerCase() === 'me' ? (leader ?? 'the leader') : who;
  return fitText(safeText(name), mostName);
}

/** The same in a few words, the nearest to this player alone: `your break in 4`, `fiddle leads`; empty where nobody is named. */
export function breakText({ now, next, mine }: BreakSight, player: Player): string {
  if (next?.mine) return `your break in ${next.bars}`;
  if (mine) return next ? `your break, ${whoText(next.who, player)} in ${next.bars}` : 'your break';
  const soon = next ? `${whoText(next.who, player)} in ${next.bars}` : '';
  if (now === null) return soon === '' ? '' : `break: ${soon}`;
  return `${whoText(now, player)} leads${soon === '' ? '' : `, ${soon}`}`;
}

/** The same as pieces of a line: what is one's own stands out. */
export function breakPieces(sight: BreakSight, player: Player): readonly Piece[] {
  const text = breakText(sight, player);
  if (text === '') return [];
  if (sight.mine) return [piece(` ${text} `, 'here')];
  return [piece(text, sight.next?.mine ? 'count' : 'plain')];
}
