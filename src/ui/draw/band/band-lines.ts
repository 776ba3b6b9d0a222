import { leads } from '../../../band/band.js';
import { partNames } from '../../../band/parts.js';
import { talkWords } from '../../../band/talk.js';
import { safeText } from '../../../base/safe-text.js';
import { wrapText } from '../../../base/wrap-text.js';
import type { Action } from '../../keys/actions.js';
import { keyLabel } from '../../keys/names.js';
import { type BandView, bandRows } from '../../state/band.js';
import type { Model } from '../../state/model.js';
import type { BandOverlay } from '../../state/overlays.js';
import { fillLines, fitText, type Line, lineWidth, type Piece, piece } from '../line.js';
import { noticeStyle } from '../notice.js';
import { leadText } from './band-line.js';
import { leadOf } from './band-of.js';
import { joinLines, wordRooms } from './join-lines.js';
import { memberCount, memberLines } from './members.js';

/** The band in front of the chart: how others join, who is there and what was asked for, what can be said and done. */
export function bandLines(model: Model, overlay: BandOverlay): Line[] {
  const { band: view, size, look } = model;
  const { columns, rows } = size;
  const height = rows - 1;
  if (!view) return aloneLines(model, height);
  const below: Line[] = [...wordLines(model, overlay), ...doLines(model, view), noticeLine(model)];
  const count = memberCount(view);
  const room = height - below.length;
  const fits = wordRooms.map((lines) => aboveLines(model, view, lines));
  // The fewer members there are, the larger the word: when many are there, it has been read.
  const above = fits.find((lines) => lines.length + count <= room) ?? (fits.at(-1) as Line[]);
  const list = memberLines(view, {
    columns,
    room: Math.max(1, room - above.length),
    chosen: overlay.chosen,
    unicode: look.unicode,
  });
  return [...fillLines([...above, ...list], columns, room), ...fillLines(below, columns, below.length)];
}

function aboveLines(model: Model, view: BandView, lines: number): Line[] {
  const { columns, rows } = model.size;
  const air: Line[] = rows >= 22 && lines > 1 ? [[]] : [];
  const trouble = wrapText(safeText(view.trouble), columns - 3);
  return [
    headLine(model, view),
    ...air,
    ...trouble.map((text): Line => [piece('  '), piece(text, 'warn')]),
    ...(view.place
      ? joinLines(view.place, model, lines)
      : view.refused
        ? []
        : [[piece('  the network has not answered yet', 'dim')] as Line]),
    ...air,
  ];
}

function headLine(model: Model, view: BandView): Line {
  const { columns } = model.size;
  const title = view.isClass ? 'The class' : 'The band';
  const right = leadText({ ...leadOf(view), unicode: model.look.unicode });
  const gap = Math.max(2, columns - 2 - title.length - lineWidth([piece(right)]));
  return [piece(' '), piece(title, 'title'), piece(' '.repeat(gap)), piece(right, 'count')];
}

function noticeLine(model: Model): Line {
  const { notice, size } = model;
  return [piece(' '), piece(fitText(safeText(notice), size.columns - 2), noticeStyle(model))];
}

/** The caller's words with the digits that say them; or the parts, once a break was called. */
function wordLines({ size, bindings, look }: Model, { whose }: BandOverlay): Line[] {
  const label = whose ? 'whose break?' : 'say';
  const list: readonly string[] = whose ? partNames : talkWords;
  const callKeys = talkWords.map((word) =>
    keyOf(bindings, `call-${word.replace(/ /g, '-')}` as Action, look.unicode),
  );
  const items = list.map((word, index): Piece[] => [piece(callKeys[index] ?? '', 'key'), piece(` ${word}`)]);
  return inLines([piece(`  ${label}  `, 'dim')], items, size.columns);
}

/** What else can be done here, with its keys, by who leads. */
function doLines({ size, bindings, look, mode }: Model, view: BandView): Line[] {
  const isLeader = leads(view.band);
  const rows = bandRows(view);
  const isAsked = rows.some(({ kind }) => kind === 'request');
  const done: readonly (readonly [Action, string])[] = isLeader
    ? [
        ...(isAsked ? [['band-take', 'finds it'] as const] : []),
        ...(rows.length > 0 ? [['band-out', isAsked ? 'drops it, removes' : 'turns away'] as const] : []),
        ['band-lay-down', 'gives up the lead'],
        ['band-leave', 'leaves the band'],
        ['back', 'back'],
      ]
    : [
        ['band-lead', 'takes the lead'],
        ['band-request', 'asks for a song'],
        ...(rows.length > 0 ? [['band-out', 'turns away'] as const] : []),
        ...(mode.kind === 'follow' && view.band.song
          ? [['band-keep-chart', 'keeps the chart'] as const]
          : []),
        ['band-leave', 'leaves the band'],
        ['back', 'back'],
      ];
  const items = done.map(([action, text]): Piece[] => [
    piece(keyOf(bindings, action, look.unicode), 'key'),
    piece(` ${text}`, 'dim'),
  ]);
  return inLines([piece('  ')], items, size.columns);
}

function keyOf(bindings: Model['bindings'], action: Action, unicode: boolean): string {
  const key = bindings.find((one) => one.place === 'band' && one.action === action)?.keys[0];
  return key === undefined ? '' : keyLabel(key, unicode);
}

/** Items one after the other on as many lines as they need; those whose key was taken away are left out. */
function inLines(label: Line, items: readonly (readonly Piece[])[], columns: number): Line[] {
  const indent = ' '.repeat(lineWidth(label));
  const lines: Piece[][] = [[...label]];
  for (const item of items) {
    if (item[0]?.text === '') continue;
    const line = lines.at(-1) as Piece[];
    if (line.length === 1) line.push(...item);
    else if (lineWidth([...line, ...item]) + 2 > columns) lines.push([piece(indent), ...item]);
    else line.push(piece('  '), ...item);
  }
  return lines;
}

function aloneLines(model: Model, height: number): Line[] {
  const { columns } = model.size;
  const key = keyOf(model.bindings, 'band-lead', model.look.unicode);
  const texts = [
    `${key} leads: this stand then shows a word, and whoever types “barkline join” with it sees your song, in your key, at your bar.`,
    'To follow somebody, leave and type “barkline join WORD”, with the word of the stand that leads.',
  ];
  return fillLines(
    [
      [piece(' '), piece('You play alone', 'title')],
      [],
      ...texts.flatMap((text) => [
        ...wrapText(text, columns - 4).map((line): Line => [piece('  '), piece(line)]),
        [],
      ]),
      noticeLine(model),
    ],
    columns,
    height,
  );
}
