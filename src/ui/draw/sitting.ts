import { safeText } from '../../base/safe-text.js';
import { strainCaution } from '../../shed/drill.js';
import { minutesOf } from '../../shed/sitting-item.js';
import { chopsText } from '../state/chops.js';
import type { Model } from '../state/model.js';
import type { SittingMode } from '../state/modes.js';
import { hearsWord } from './hears.js';
import { type Line, piece, type Style } from './line.js';
import { namedKeys } from './named-keys.js';
import { largeLines, wordLines } from './words.js';

/** Lines that are not what is told: the head, an empty one, the keys, and the terminal's last. */
const frame = 4;

/** The card of what comes, a rest with the seconds that are left, or at the end what came of it all. */
export function sittingLines(model: Model, sitting: SittingMode): Line[] {
  const { rows } = model.size;
  const hears = hearsWord(model.ear);
  const head: Line[] = [
    [piece(` Sitting, ${place(sitting)}`, 'title'), piece(hears === '' ? '' : `   ${hears}`, 'dim')],
    [],
  ];
  const body = bodyOf(model, sitting);
  const chops = chopsText(model);
  const foot = namedKeys(` Space${chops === '' ? '' : ` or ${chops}`} goes on   Esc ends the sitting`);
  const lines = [...head, ...body].slice(0, rows - 2);
  while (lines.length < rows - 2) lines.push([]);
  return [...lines, foot];
}

function place({ items, at, phase }: SittingMode): string {
  const minutes = Math.round(minutesOf(items.slice(at)));
  return phase === 'done' ? 'done' : `${at + 1} of ${items.length}, about ${minutesText(minutes)} to go`;
}

function bodyOf(model: Model, sitting: SittingMode): Line[] {
  const words = (text: string, style?: Style): Line[] => wordLines(text, model.size.columns, style);
  const { items, at, phase, until, results } = sitting;
  const item = items[at];
  const seconds = Math.max(0, Math.ceil((until - model.at) / 1000));
  if (phase === 'done' || !item)
    return [
      ...results.flatMap((one) => words(safeText(one))),
      [],
      ...words('Let the hands hang for a while.', 'dim'),
    ];
  if (item.kind === 'rest')
    return withCount([...words('Rest', 'title'), [], ...words(item.says)], 'Seconds left:', seconds, model);
  const caution = at === 0 || item.minutes >= 5 ? [[], ...words(strainCaution)] : [];
  const told = [
    ...words(safeText(item.drill.title), 'title'),
    ...words(item.drill.says),
    [],
    ...words(`Why: ${safeText(item.why)}.`, 'dim'),
    ...words(`${minutesText(item.minutes)}.`, 'dim'),
    ...caution,
  ];
  return withCount(told, 'Seconds until it begins:', seconds, model);
}

/** What is told, and below it the seconds: large where there is room for the whole figure. What they count stands with them, or they would be taken for a chord. */
function withCount(told: readonly Line[], label: string, seconds: number, { look, size }: Model): Line[] {
  const large = largeLines(String(seconds), look.unicode, 'count');
  const room = size.rows - frame - told.length;
  if (room >= large.length + 2) return [...told, [], ...wordLines(label, size.columns, 'dim'), ...large];
  return [...told, [], [piece(`  ${label} `, 'dim'), piece(String(seconds), 'count')]];
}

/** `1 minute`, `2.5 minutes`. */
function minutesText(minutes: number): string {
  return minutes === 1 ? '1 minute' : `${minutes} minutes`;
}
