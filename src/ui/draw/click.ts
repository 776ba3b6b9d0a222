import { safeText } from '../../base/safe-text.js';
import { meterText } from '../../chart/chart.js';
import { tempoLabel } from '../../chart/label.js';
import type { Performance } from '../../playback/performance.js';
import { isReady } from '../../playback/transport.js';
import type { Click } from '../../time/click.js';
import { clickKinds } from '../../time/click-kinds.js';
import type { Model } from '../state/model.js';
import { bigHeight, fitScale } from './big-text.js';
import { block } from './block.js';
import { footLine } from './foot.js';
import { fillLines, fitText, type Line, lineWidth, type Piece, padText, piece, textWidth } from './line.js';
import { noticeLine } from './notice.js';

/** Lines of everything but the large figures. */
const otherLines = 10;
/** The widest that stands in each half: the figures are as large as these would be. */
const usual = '400';

/** A click without a song: tempo and beat in large figures, the beats of the bar, and how it clicks. Exactly `rows - 1` lines. */
export function clickLines(model: Model): Line[] {
  const { columns, rows } = model.size;
  const height = rows - 1;
  const { performance } = model.session;
  if (!performance) return fillLines([], columns, height);
  const { unicode } = model.look;
  const { setup, cursor } = performance;
  const runs = model.session.link.state === 'running' && cursor.beat !== null;
  const bpm = Math.round(cursor.bpm ?? setup.bpm);
  const half = Math.floor((columns - 4) / 2);
  const scale = Math.max(1, fitScale(usual, half, height - otherLines, unicode));
  const tall = bigHeight({ scale, unicode });
  const tempo = block(String(bpm), half, tall, unicode, 'number', usual);
  const beat = block(runs ? String((cursor.beat ?? 0) + 1) : '', half, tall, unicode, 'count', usual);
  const tempoText = tempoLabel({ ...setup.chart.tempo, bpm }).replace(/^\d+ /, '');
  const place = !runs ? stateText(model, performance) : cursor.counting ? 'count-in' : `bar ${cursor.pass}`;
  const of = setup.passes === null || !runs || cursor.counting ? '' : ` of ${setup.passes}`;
  const spare = Math.max(0, Math.floor((height - otherLines - tall) / 3));
  const lines: Line[] = [
    headLine(model, performance),
    ...Array.from({ length: 1 + spare }, (): Line => []),
    ...tempo.map((left, index): Line => [piece('  '), left, beat[index] as Piece]),
    [piece(`  ${padText(tempoText, half)}`, 'dim'), piece(place + of, 'dim')],
    [],
    [piece('  '), ...beatPieces(performance, runs)],
    [],
    [piece(`  click: ${clickText(setup.click)}`)],
    [piece('  Start softly: a click is sharp, and ears do not heal.', 'dim')],
  ];
  const last = [noticeLine(model, null, columns), footLine(model.bindings, columns, unicode, 'click')];
  return [...fillLines(lines, columns, height - last.length), ...fillLines(last, columns, last.length)];
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
