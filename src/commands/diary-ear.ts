import type { DiaryEntry } from '../shed/diary.js';
import { type DictationKind, dictationKinds } from '../shed/dictation/figures.js';
import { dictationLevels, levelOf } from '../shed/dictation/levels.js';
import { askedMoves, type MoveHeard, moveTable } from '../shed/dictation/move-table.js';
import { standingOf } from '../shed/dictation/standing.js';
import { print } from './exit.js';

/** The most moves that are named for each kind. */
const mostMoves = 10;

const heads: Readonly<Record<DictationKind, string>> = {
  changes: 'Changes by ear',
  bass: 'The bass by ear',
  tune: 'Tunes by ear: which chord fits',
};

/** What was named by ear, for `diary --json`: for each kind the level and how each move was heard. */
export function earJson(entries: readonly DiaryEntry[]): object {
  return Object.fromEntries(
    dictationKinds.map((asks) => [
      asks,
      {
        level: asks === 'tune' ? null : levelOf(standingOf(entries, asks).level).name,
        moves: moveTable(askedMoves(entries, asks)),
      },
    ]),
  );
}

/** Which moves are taken for which, the ones most often misheard first. Nothing where nothing was named. */
export function printEar(entries: readonly DiaryEntry[]): void {
  for (const asks of dictationKinds) {
    const table = moveTable(askedMoves(entries, asks));
    if (table.length === 0) continue;
    const { level } = standingOf(entries, asks);
    const where =
      asks === 'tune' ? '' : `, level ${level + 1} of ${dictationLevels.length}: ${levelOf(level).says}`;
    const asked = table.reduce((sum, one) => sum + one.asked, 0);
    const right = table.reduce((sum, one) => sum + one.right, 0);
    print('', `${heads[asks]}${where}; ${right} of ${asked} right`);
    const wrong = table.filter((one) => one.right < one.asked);
    if (wrong.length > 0) print('    from  to    right     mistaken for');
    for (const one of wrong.slice(0, mostMoves)) print(row(one));
    if (wrong.length > mostMoves) print(`    and ${wrong.length - mostMoves} more moves`);
  }
}

function row({ from, to, asked, right, none, takenFor }: MoveHeard): string {
  const taken = takenFor.map(({ number, times }) => `${number} ${times === 1 ? 'once' : `${times} times`}`);
  const nothing = none === 0 ? [] : [`no answer ${none === 1 ? 'once' : `${none} times`}`];
  const share = `${right} of ${asked}`;
  return `    ${from.padEnd(5)} ${to.padEnd(5)} ${share.padEnd(9)} ${[...taken, ...nothing].join(', ')}`;
}
