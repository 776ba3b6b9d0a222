import { dueMoves } from './dictation/due-moves.js';
import type { DictationKind } from './dictation/figures.js';
import { moveName } from './dictation/grammar.js';
import { levelAt, levelOf } from './dictation/levels.js';
import { askedMoves, moveTable, moveText, moveWeights } from './dictation/move-table.js';
import { type ChartSource, chartSources } from './dictation/source.js';
import { standingOf } from './dictation/standing.js';
import type { SittingWishes, Wanted } from './wanted.js';
import { dayNumber, turned } from './whole-songs.js';

/**
 * Changes to be named by ear, the most urgent first: what is misheard now, then what is due, then in turns. A tune by itself is
 * among them where a chart has one.
 */
export function earThings(wishes: SittingWishes): readonly Wanted[] {
  const { entries } = wishes;
  const tunes = tunesOf(wishes);
  // Bass and chop come on every other day, the harder kinds between.
  const usual: readonly DictationKind[] =
    tunes.length > 0 ? ['changes', 'bass', 'changes', 'tune'] : ['changes', 'bass'];
  const order = [...new Set(turned(usual, dayNumber(wishes)))];
  // A player who has named nothing so far begins with bass and chop.
  const begun = entries.some(({ dictation }) => dictation?.asks === 'changes');
  return (begun ? order : order.filter((asks) => asks === 'changes'))
    .map((asks) => ({ asks, ...want(wishes, asks) }))
    .sort((one, other) => other.weight - one.weight)
    .map(
      ({ asks, why }): Wanted => ({
        task: { kind: 'ear', asks, tune: null },
        key: null,
        tempo: null,
        why,
        id: `ear ${asks}`,
      }),
    );
}

function want({ entries, now }: SittingWishes, asks: DictationKind): { weight: number; why: string } {
  const moves = askedMoves(entries, asks);
  const misheard = moveWeights(moves);
  const worst = moveTable(moves).find(({ from, to }) => misheard.has(moveName(from, to)));
  if (worst) return { weight: 2, why: moveText(worst) };
  const due = dueMoves(entries, asks, now);
  const level = levelOf(standingOf(entries, asks).level);
  const place = asks === 'tune' ? '' : `level ${(levelAt(level.name) ?? 0) + 1}, ${level.says}`;
  if (moves.length === 0)
    return { weight: 0, why: place === '' ? 'which chord fits a tune' : `new: ${place}` };
  const [first] = due;
  if (first === undefined) return { weight: 0, why: place === '' ? 'another tune' : place };
  const [from = '', to = ''] = first.split('>');
  const more = due.length > 1 ? ` and ${due.length - 1} more` : '';
  return { weight: 1, why: `${from} to ${to}${more} due${place === '' ? '' : `; ${place}`}` };
}

/** The sections of a player's charts whose tune can be asked about. */
export function tunesOf({ charts }: Pick<SittingWishes, 'charts'>): readonly ChartSource[] {
  const before = known.get(charts);
  if (before) return before;
  const found = chartSources(
    charts.map(({ chart }) => chart),
    'tune',
  );
  known.set(charts, found);
  return found;
}

/** A sitting asks for the same charts many times. */
const known = new WeakMap<SittingWishes['charts'], readonly ChartSource[]>();
