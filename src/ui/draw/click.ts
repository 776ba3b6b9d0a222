import { safeText } from '../../base/safe-text.js';
import { meterText } from '../../chart/chart.js';
import { tempoLabel } from '../../chart/label.js';
import type { Performance } from '../../playback/performance.js';
import { isReady } from '../../playback/transport.js';
import type { Click } from '../../time/click.js';
import { clickKinds } from '../../time/click-kinds.js';
import type { Model } from '../state/model.js';
import { bigHeight, bigText, fitScale } from './big-text.js';
import { asItPlays, footLine } from './foot.js';
import { fillLines, fitText, type Line, lineWidth, type Piece, padText, piece, textWidth } from './line.js';
import { noticeLine } from './notice.js';

/** Lines of everything but the large figures. */
const otherLines = 10;
/** The share of the columns that the count has; tempo, which changes seldom, is smaller beside it. */
const countShare = 58;
/** The widest there is of each. */
const widestBeat = '12';
const widestTempo = '400';
/** Columns between count and tempo, at least. */
const gap = 8;

/** A click without a song: the beat in large figures with the tempo beside it, the beats of the bar, and how it clicks. Exactly `rows - 1` lines. */
export function clickLines(model: Model): Line[] {
  const { columns, rows } = model.size;
  const height = rows - 1;
  const { performance } = model.session;
  if (!performance) return fillLines([], columns, height);
  const { unicode } = model.look;
  const { setup, cursor } = performance;
  const runs = model.session.link.state === 'running' && cursor.beat !== null;
  const bpm = Math.round(cursor.bpm ?? setup.bpm);
  const left = Math.floor((columns * countShare) / 100);
  const room = height - otherLines;
  const scale = Math.max(1, fitScale(widestBeat, left - gap, room, unicode));
  const tall = bigHeight({ scale, unicode });
  const beat = large(runs ? String((cursor.beat ?? 0) + 1) : '', scale, unicode, tall, left);
  // Of two numbers side by side in one size a third is read.
  const tempoScale = Math.max(
    1,
    Math.min(Math.floor(scale / 2), fitScale(widestTempo, columns - left - 2, room, unicode)),
  );
  const tempo = large(String(bpm), tempoScale, unicode, tall, columns - left - 2);
  const tempoText = tempoLabel({ ...setup.chart.tempo, bpm }).replace(/^\d+ /, '');
  const place = !runs ? stateText(model, performance) : cursor.counting ? 'count-in' : `bar ${cursor.pass}`;
  const of = setup.passes === null || !runs || cursor.counting ? '' : ` of ${setup.passes}`;
  const spare = Math.max(0, Math.floor((height - otherLines - tall) / 3));
  const lines: Line[] = [
    headLine(model, performance),
    ...Array.from({ length: 1 + spare }, (): Line => []),
    ...beat.map(
      (count, line): Line => [piece(`  ${count}`, 'count'), piece(tempo[line] as string, 'number')],
    ),
    [piece(`  ${padText(place + of, left)}`, 'dim'), piece(tempoText, 'dim')],
    [],
    [piece('  '), ...beatPieces(performance, runs)],
    [],
    [piece(`  click: ${clickText(setup.click)}`)],
    [piece('  Start softly: a click is sharp, and ears do not heal.', 'dim')],
  ];
  const last = [noticeLine(model, null, columns), footLine(asItPlays(model), columns, unicode, 'click')];
  return [...fillLines(lines, columns, height - last.length), ...fillLines(last, columns, last.length)];
}

/** A number in large figures, standing on the last of so many lines, each of so many columns. */
function large(text: string, scale: number, unicode: boolean, tall: number, columns: number): string[] {
  const drawn = text === '' ? [] : bigText(text, { scale, unicode });
  return Array.from({ length: tall }, (_, line) => padText(drawn[line - tall + drawn.length] ?? '', columns));
}

function headLine({ session, size }: Model, { setup }: Performance): Line {
  const left: Line = [piece(' '), piece('Click', 'title'), piece(`   ${meterText(setup.chart.meter)}`)];
  const output = fitText(safeText(session.link.output ?? 'opening output'), Math.floor(size.columns / 2));
  const gap = size.columns - lineWidth(left) - textWidth(output) - 1;
  return [...left, piece(' '.repeat(Math.max(2, gap))), piece(output, 'dim')];
}

function stateText({ session }: Model, { begun }: Performance): string {
  if (!isReady(session)) return 'opening';
  return begun && session.link.state === 'paused' ? 'paused' : 'ready';
}

/** The beats of the bar as figures; the one that sounds is lit. */
function beatPieces({ arrangement, cursor }: Performance, runs: boolean): Piece[] {
  const count = arrangement?.score.bars[0]?.beats.length ?? 0;
  return Array.from({ length: count }, (_, beat): Piece[] => [
    piece(` ${beat + 1} `, runs && cursor.beat === beat ? 'here' : 'plain'),
    piece('  '),
  ]).flat();
}

function clickText({ kind, accents, gaps }: Click): string {
  const says = clickKinds.find((one) => one.kind === kind)?.says ?? kind;
  const every = accents || kind !== 'every' ? says : 'every beat, all alike';
  return gaps ? `${every}; ${gaps.heard} with, ${gaps.silent} without` : every;
}
