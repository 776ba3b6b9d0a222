import { safeText } from '../../base/safe-text.js';
import { meterText } from '../../chart/chart.js';
import { shortTempo } from '../../chart/label.js';
import { keyName, withSigns } from '../../theory/key.js';
import { bindings, keyLabel } from '../keymap.js';
import type { Model, Stand } from '../model.js';
import { handMoment, type PassView, passView } from '../pass-view.js';
import { isReady } from '../update/stand.js';
import { chartLines, formStrip } from './chart.js';
import { chartRows } from './chart-rows.js';
import { type HandView, nextLines, nowLines, promptLines } from './hand-pane.js';
import { beside, fitLine, fitText, type Line, lineWidth, type Piece, piece } from './line.js';

/** The least size the stand can be drawn in. */
export const leastSize = { columns: 60, rows: 18 } as const;
/** From this width on the hand stands at the right, below it under the chart. */
const wideColumns = 78;
/** Two lines of the chart: the one being played and the one to come are always in sight. */
const leastChart = 6;

/**
 * The whole stand: exactly `rows - 1` lines (a frame as tall as the terminal would make it scroll) of at
 * most `columns` columns.
 */
export function standLines(model: Model): Line[] {
  const { columns, rows } = model.size;
  const height = rows - 1;
  const { stand } = model;
  if (!stand) return fill([], columns, height);
  const view = passView(stand);
  const head = [
    headLine(model, stand, columns),
    view ? stripLine(view, stand, columns, model.look.unicode) : [],
  ];
  const foot = [noticeLine(model, columns), footLine(columns, model.look.unicode)];
  // Where lines are few, none is left empty.
  const air: Line[] = rows >= 22 ? [[]] : [];
  const room = height - head.length - foot.length - air.length;
  const body = view
    ? bodyLines(model, stand, view, columns, room)
    : [[piece('  the hand is being planned', 'dim')]];
  return fill([...head, ...air, ...fill(body, columns, room), ...foot], columns, height);
}

function fill(lines: readonly Line[], columns: number, height: number): Line[] {
  const cut = lines.slice(0, height).map((line) => fitLine(line, columns));
  return [
    ...cut,
    ...Array.from({ length: Math.max(0, height - cut.length) }, (): Line => [piece(' '.repeat(columns))]),
  ];
}

function bodyLines(model: Model, stand: Stand, view: PassView, columns: number, room: number): Line[] {
  const { unicode } = model.look;
  const { bar, beat, counting } = stand.cursor;
  const chart = (width: number, height: number): Line[] =>
    chartLines(
      {
        bars: view.bars,
        rows: chartRows(view.bars),
        bar,
        beat: counting ? null : beat,
        unicode,
        endless: stand.passes === null,
      },
      width,
      height,
    );
  const moment = handMoment(view, bar, counting ? 0 : (beat ?? 0), stand.range);
  const hand: HandView = {
    instrument: stand.instrument,
    ...moment,
    running: model.player.state === 'running',
    unicode,
  };
  if (columns >= wideColumns) {
    const paneWidth = Math.min(52, Math.floor(columns * 0.42));
    const left = columns - paneWidth;
    const right = handColumn(hand, paneWidth - 2, room);
    const lines = chart(left - 2, room);
    return Array.from({ length: room }, (_, index) =>
      beside([piece(' '), ...(lines[index] ?? [])], left, right[index] ?? []),
    );
  }
  const half = Math.floor(columns / 2);
  const now = nowLines(hand, half - 2);
  const next = nextLines(hand, half - 2);
  const pane = now.map((line, index) => beside([piece(' '), ...line], half, next[index] ?? []));
  const [glance = [], ...sentence] = promptLines(hand, columns - 2);
  const spare = room - Math.max(leastChart, room - pane.length - 2) - pane.length;
  // With a single line left, the sentence stands behind the glance as far as it goes.
  const joined: Line[] = [[...glance, ...sentence.flatMap((line) => [piece('  '), ...line])]];
  const prompts = (spare > sentence.length ? [glance, ...sentence] : joined).map(
    (line): Line => [piece(' '), ...line],
  );
  // Room for a prompt of two lines stays free whether or not it is there, so that nothing jumps.
  const chartRoom = Math.max(leastChart, room - pane.length - 2);
  return [...fill(chart(columns - 2, chartRoom), columns, chartRoom), ...pane, ...prompts];
}

/** The hand from top to bottom, with air between its parts when there is room for it. */
function handColumn(hand: HandView, width: number, room: number): Line[] {
  const parts = [nowLines(hand, width), nextLines(hand, width), promptLines(hand, width)];
  const needed = parts.reduce((sum, part) => sum + part.length, 0);
  // Always as while paused, so that nothing jumps when the music starts.
  const airy = needed + 2 <= room && nowLines(hand, width).length * 2 + 8 <= room;
  return parts.flatMap((part, index) => (airy && index > 0 ? [[], ...part] : part));
}

/** Title at the left; key, tempo, meter, pass and output at the right. */
function headLine(model: Model, stand: Stand, columns: number): Line {
  const { unicode } = model.look;
  const key = unicode ? withSigns(keyName(stand.key)) : keyName(stand.key);
  const state = stateText(model, stand);
  const parts: Piece[] = [
    piece(key, 'key'),
    piece(shortTempo({ ...stand.chart.tempo, bpm: stand.bpm }, unicode)),
    piece(meterText(stand.chart.meter)),
    piece(state, model.player.state === 'running' ? 'count' : 'plain'),
  ];
  const fixed: Piece[] = parts.flatMap((one, index) => (index === 0 ? [one] : [piece('  '), one]));
  // The title needs its room first; the output's name has what is left.
  const title = safeText(stand.chart.title);
  const wanted = Math.min(lineWidth([piece(title)]), columns - lineWidth(fixed) - 12);
  const output = fitText(
    safeText(model.player.output ?? 'opening output'),
    Math.min(24, columns - lineWidth(fixed) - wanted - 7),
  );
  const right: Piece[] = [...fixed, piece('  '), piece(output, 'dim')];
  const room = Math.max(8, columns - lineWidth(right) - 4);
  return [piece(' '), ...fitLine([piece(fitText(title, room), 'title')], room), piece('  '), ...right];
}

function stateText(model: Model, stand: Stand): string {
  if (model.player.state === 'running') {
    if (stand.cursor.counting) return `count ${(stand.cursor.beat ?? 0) + 1}`.padEnd(8);
    return `pass ${stand.cursor.pass}${stand.passes === null ? '' : ` of ${stand.passes}`}`.padEnd(8);
  }
  if (!isReady(model)) return 'planning';
  return (model.player.state === 'paused' ? 'paused' : 'ready').padEnd(8);
}

function stripLine(view: PassView, stand: Stand, columns: number, unicode: boolean): Line {
  return [piece(' '), ...formStrip(chartRows(view.bars), stand.cursor.bar, columns - 2, unicode)];
}

function noticeLine(model: Model, columns: number): Line {
  return model.notice === '' ? [] : [piece(' '), piece(fitText(model.notice, columns - 2), 'warn')];
}

/** The keys with a short word; as many as fit, and the help key always among them. */
export function footLine(columns: number, unicode: boolean): Line {
  const shown = bindings.filter((binding) => binding.foot !== undefined);
  const text = (binding: (typeof shown)[number]): string =>
    `${footKeys(binding.action, unicode)} ${binding.foot}`;
  let kept = shown;
  const width = (list: typeof shown): number =>
    list.reduce((sum, binding) => sum + text(binding).length + 3, 1);
  // The least needed go first; the help screen has them all.
  for (const action of [
    'bar-back',
    'choose-output',
    'back',
    'section-back',
    'slower',
    'choose-key',
  ] as const) {
    if (width(kept) > columns) kept = kept.filter((binding) => binding.action !== action);
  }
  return [
    piece(' '),
    ...kept.flatMap((binding): Piece[] => [
      piece(footKeys(binding.action, unicode), 'key'),
      piece(` ${binding.foot}   `, 'dim'),
    ]),
  ];
}

/** The keys of an action and of its opposite, as one: `← →`. */
function footKeys(action: string, unicode: boolean): string {
  const pairs: Readonly<Record<string, string>> = {
    'bar-back': 'bar-on',
    'section-back': 'section-on',
    slower: 'faster',
  };
  const own = [action, pairs[action]].flatMap(
    (one) => bindings.find((binding) => binding.action === one)?.keys[0] ?? [],
  );
  return own.map((key) => keyLabel(key, unicode)).join(' ');
}
