import { safeText } from '../../base/safe-text.js';
import { strainCaution } from '../../shed/drill.js';
import { minutesOf } from '../../shed/sitting-item.js';
import type { Model, SittingRun } from '../model.js';
import { bigText } from './big-text.js';
import { wrapWords } from './hand-pane.js';
import { type Line, piece, type Style } from './line.js';

/** The card of what comes, a rest with the seconds that are left, or at the end what came of it all. */
export function sittingLines(model: Model, sitting: SittingRun): Line[] {
  const { columns, rows } = model.size;
  const words = (text: string, style: Style = 'plain'): Line[] =>
    wrapWords(text, columns - 4).map((line): Line => [piece('  '), piece(line, style)]);
  const head: Line[] = [[piece(` Sitting, ${place(sitting)}`, 'title')], []];
  const body = bodyOf(model, sitting, words);
  const foot: Line[] = [[piece(' Space goes on, Esc ends the sitting', 'dim')]];
  const lines = [...head, ...body].slice(0, rows - 2);
  while (lines.length < rows - 2) lines.push([]);
  return [...lines, ...foot];
}

function place({ items, at, phase }: SittingRun): string {
  const minutes = Math.round(minutesOf(items.slice(at)));
  return phase === 'done' ? 'done' : `${at + 1} of ${items.length}, about ${minutes} minutes to go`;
}

function bodyOf(model: Model, sitting: SittingRun, words: (text: string, style?: Style) => Line[]): Line[] {
  const { items, at, phase, until, told } = sitting;
  const item = items[at];
  const seconds = Math.max(0, Math.ceil((until - model.at) / 1000));
  if (phase === 'done' || !item)
    return [
      ...told.flatMap((one) => words(safeText(one))),
      [],
      ...words('Let the hands hang for a while.', 'dim'),
    ];
  const count = bigText(String(seconds), { scale: 2, unicode: model.look.unicode }).map(
    (line): Line => [piece('  '), piece(line, 'count')],
  );
  if (item.kind === 'rest') return [...words('Rest', 'title'), [], ...words(item.says), [], ...count];
  const caution = at === 0 || item.minutes >= 5 ? [[], ...words(strainCaution, 'warn')] : [];
  return [
    ...words(safeText(item.drill.title), 'title'),
    ...words(item.drill.says),
    [],
    ...words(`Why: ${safeText(item.why)}.`, 'dim'),
    ...words(`${item.minutes} minutes.`, 'dim'),
    ...caution,
    [],
    ...count,
  ];
}
