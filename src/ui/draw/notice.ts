import { safeText } from '../../base/safe-text.js';
import type { Entry, Model, SetRun } from '../model.js';
import { nextText } from '../update/run.js';
import { fitText, type Line, type Piece, piece, textWidth } from './line.js';

/** The line above the keys: what is being typed, when it is this player's turn, or what the player should read. */
export function noticeLine(model: Model, toMyTurn: number | null, columns: number): Line {
  if (model.entry) return entryLine(model, model.entry, columns);
  const turn =
    toMyTurn === null
      ? ''
      : toMyTurn === 0
        ? 'your turn'
        : `your turn in ${toMyTurn} ${toMyTurn === 1 ? 'bar' : 'bars'}`;
  const runs = model.set && model.notice === '' ? runText(model, model.set) : '';
  if (turn === '' && model.notice === '' && runs === '') return [];
  const told: Piece[] = turn === '' ? [] : [piece(turn, toMyTurn === 0 ? 'here' : 'count'), piece('  ')];
  const room = columns - 2 - told.reduce((sum, one) => sum + textWidth(one.text), 0);
  if (runs !== '') return [piece(' '), ...told, piece(fitText(runs, room), 'dim')];
  return [piece(' '), ...told, piece(fitText(model.notice, room), 'warn')];
}

/** In a set: what was wished for, else the place in it and what comes next. */
function runText({ stand }: Model, set: SetRun): string {
  const { run } = set;
  if (stand?.held?.until === null) return 'waiting on this chord: the same key or pedal goes on';
  if (stand?.held) return 'going on';
  const { turn } = stand ?? {};
  if (turn?.kind === 'again')
    return `this section once more${turn.ticks.length > 1 ? `, ${turn.ticks.length} times` : ''}`;
  if (turn?.kind === 'ending') return 'after this section the ending';
  return `${run.at + 1} of ${run.songs.length}; then ${safeText(nextText(set))}`;
}

/**
 * A line that is typed: its label, the text with the caret, and what is wrong so far, or what the player should read
 * otherwise. The caret stays in sight.
 */
export function entryLine(
  { notice, look }: Pick<Model, 'notice' | 'look'>,
  { label, text, caret, fault }: Entry,
  columns: number,
): Line {
  const head = `${label}: `;
  const wrong = fault === '' ? '' : `  ${look.unicode ? '✗' : 'x'} ${fault}`;
  const told = wrong === '' && notice !== '' ? `  ${notice}` : wrong;
  const room = Math.max(
    12,
    columns - 2 - textWidth(head) - Math.min(textWidth(told), Math.floor(columns / 2)),
  );
  const characters = [...text];
  const from = Math.max(0, caret - room + 2);
  const before = characters.slice(from, caret).join('');
  const at = characters[caret] ?? ' ';
  const behind = characters.slice(caret + 1, from + room).join('');
  const typed = textWidth(before + at + behind);
  return [
    piece(` ${head}`, 'dim'),
    piece(before),
    piece(at, 'here'),
    piece(behind),
    piece(fitText(told, Math.max(0, columns - 1 - textWidth(head) - typed)), 'warn'),
  ];
}
