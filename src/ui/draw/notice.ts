import { safeText } from '../../base/safe-text.js';
import { wrapText } from '../../base/wrap-text.js';
import { passView } from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import { numberText } from '../../theory/number.js';
import { chopsText } from '../state/chops.js';
import type { Model } from '../state/model.js';
import type { LineOverlay } from '../state/overlays.js';
import { nextText, noticeNow, overlayOf, standMode } from '../state/select.js';
import { heardText } from './heard.js';
import { fitText, type Line, type Piece, piece, type Style, textWidth } from './line.js';

/** A fault is drawn as one; news is plain. */
export function noticeStyle({ notice, wrong }: Pick<Model, 'notice' | 'wrong'>): Style {
  return notice !== '' && notice === wrong ? 'warn' : 'plain';
}

/** The line above the keys: what is being typed, when it is this player's turn, or what the player should read. */
export function noticeLine(model: Model, toMyTurn: number | null, columns: number): Line {
  const typed = overlayOf(model, 'line');
  if (typed) return typedLine(model, typed, columns);
  const turn =
    toMyTurn === null
      ? ''
      : toMyTurn === 0
        ? 'your turn'
        : `your turn in ${toMyTurn} ${toMyTurn === 1 ? 'bar' : 'bars'}`;
  const waits = waitText(model);
  // What a player should read now goes before what was heard, and that before what runs by itself.
  const heard = waits === '' && model.notice === '' && !isFar(model) ? heardText(model) : '';
  const runs = waits || (model.notice === '' && heard === '' ? runText(model) : '');
  const begins = heard === '' ? beginText(model) : '';
  if (turn === '' && model.notice === '' && heard === '' && runs === '' && begins === '') return [];
  const turnPieces: Piece[] =
    turn === '' ? [] : [piece(turn, toMyTurn === 0 ? 'here' : 'count'), piece('  ')];
  const room = columns - 2 - turnPieces.reduce((sum, one) => sum + textWidth(one.text), 0);
  if (runs !== '') return [piece(' '), ...turnPieces, piece(fitText(runs, room), 'dim')];
  if (heard !== '') return [piece(' '), ...turnPieces, piece(fitText(heard, room))];
  const notice = piece(fitText(model.notice, room), noticeStyle(model));
  const isRoom = textWidth(notice.text) + textWidth(begins) + 3 <= room;
  const begin: Piece[] =
    begins === '' || !isRoom ? [] : [piece(notice.text === '' ? '' : '   '), piece(begins, 'dim')];
  return [piece(' '), ...turnPieces, notice, ...begin];
}

function isFar(model: Model): boolean {
  return standMode(model)?.stand.sight.far ?? false;
}

/** While time stands still: what is held, what comes next, and what goes on. The hands are busy: a key under the foot is named first. */
function waitText({ mode, session: { performance, link } }: Model): string {
  const waits = performance?.cursor.waits;
  if (!performance || !waits || link.following.label !== null) return '';
  const keys =
    mode.kind === 'set' ? 'Page Down, a or the pedal that holds' : 'Page Down or the pedal that holds';
  const view = passView(performance);
  const { bar } = performance.cursor;
  const next = view?.bars[bar + 1];
  const cell = next?.cells[0];
  const coming = cell?.number ? `then ${numberText(cell.number)}` : '';
  const then = coming === '' ? '' : `, ${coming}`;
  if (mode.kind === 'follow')
    return waits === 'chord'
      ? `held until the leader goes on${then}`
      : `the band waits${then}: the leader counts in one beat`;
  return waits === 'chord'
    ? `held until released: ${keys}`
    : `the band waits${then}: ${keys} counts in one beat`;
}

/** While it listens and nothing plays: what begins the music, beside whatever else is to be read. */
function beginText(model: Model): string {
  const chops = chopsText(model);
  return chops === '' ? '' : `Space or ${chops}`;
}

/** In a set: what was asked for, else the place in it and what comes next. A follower reads what the leader asked for. */
function runText({ mode, session: { performance } }: Model): string {
  if (mode.kind === 'follow') return wishText(performance, 'the leader goes on');
  if (mode.kind !== 'set') return '';
  const { run } = mode;
  return wishText(performance) || `${run.at + 1} of ${run.songs.length}; then ${safeText(nextText(mode))}`;
}

/** Where the music will go, or waits; empty where it just goes on. */
function wishText(performance: Performance | null, release = 'the same key or pedal goes on'): string {
  if (!performance) return '';
  const { vamp, jump } = performance;
  if (vamp) return vamp.until === null ? `waiting on this chord: ${release}` : 'going on';
  if (jump?.kind === 'again')
    return `this section once more${jump.ticks.length > 1 ? `, ${jump.ticks.length} times` : ''}`;
  return jump ? 'after this section the ending' : '';
}

/**
 * What the ear says, where it is longer than the line above the keys: all of it but its last line, which is there. What to do
 * comes last in it.
 */
export function earSays(
  model: Model,
  columns: number,
): { readonly above: readonly Line[]; readonly last: string } {
  const { ear, overlay } = model;
  const notice = noticeNow(model);
  const whole = { above: [], last: notice };
  if (notice === '' || notice !== ear.says || overlay || isFar(model)) return whole;
  const lines = wrapText(notice, columns - 2);
  return {
    above: lines.slice(0, -1).map((text) => [piece(' '), piece(text, noticeStyle({ ...model, notice }))]),
    last: lines.at(-1) ?? '',
  };
}

/** What is wrong with a line that is typed, on lines of its own; none where it fits beside it. */
export function faultLines(model: Model, columns: number): Line[] {
  const typed = overlayOf(model, 'line');
  if (!typed || typed.fault === '') return [];
  const beside = textWidth(`${typed.label}: ${typed.text}`) + textWidth(typed.fault) + 6;
  if (beside <= columns) return [];
  const sign = model.look.unicode ? '✗' : 'x';
  return wrapText(`${sign} ${typed.fault}`, columns - 2).map((text) => [piece(' '), piece(text, 'warn')]);
}

/**
 * A line that is typed: its label, the text with the caret, and what is wrong so far, or what the player should read
 * otherwise. The caret stays in sight.
 */
export function typedLine(
  model: Pick<Model, 'notice' | 'wrong' | 'look'>,
  { label, text, caret, fault }: LineOverlay,
  columns: number,
): Line {
  const { notice, look } = model;
  const head = `${label}: `;
  const wrong = fault === '' ? '' : `${look.unicode ? '✗' : 'x'} ${fault}`;
  const remark = wrong === '' && notice !== '' ? notice : wrong;
  const room = Math.max(
    12,
    columns - 2 - textWidth(head) - Math.min(textWidth(remark) + 2, Math.floor(columns / 2)),
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
    piece('  '),
    piece(
      fitText(remark, Math.max(0, columns - 3 - textWidth(head) - typed)),
      wrong === '' ? noticeStyle(model) : 'warn',
    ),
  ];
}
