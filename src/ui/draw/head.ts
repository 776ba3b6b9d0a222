import { safeText } from '../../base/safe-text.js';
import { meterText } from '../../chart/chart.js';
import { shortTempo } from '../../chart/label.js';
import { keyName, withSigns } from '../../theory/key.js';
import type { Model, Stand } from '../model.js';
import { isReady } from '../update/arranging.js';
import { fitLine, fitText, type Line, lineWidth, type Piece, piece, textWidth } from './line.js';

/** Title at the left; key, tempo, meter, pass and output at the right. */
export function headLine(model: Model, stand: Stand, columns: number): Line {
  const { unicode } = model.look;
  const key = unicode ? withSigns(keyName(stand.key)) : keyName(stand.key);
  const parts: Piece[] = [
    piece(key.padEnd(3), 'key'),
    piece(shortTempo({ ...stand.chart.tempo, bpm: tempoNow(stand) }, unicode)),
    piece(shareText(stand), 'dim'),
    piece(meterText(stand.chart.meter)),
    piece(stateText(model, stand), model.player.state === 'running' ? 'count' : 'plain'),
  ];
  const fixed: Piece[] = parts
    .filter((one) => one.text !== '')
    .flatMap((one, index) => (index === 0 ? [one] : [piece('  '), one]));
  // The title needs its room first; the output's name has what is left, if that is enough to be read.
  const title = safeText(stand.taking ? 'taking down' : stand.chart.title);
  const most = columns - lineWidth(fixed) - 4;
  const left = Math.min(24, most - textWidth(title) - 2);
  const output = left < leastOutput ? '' : fitText(safeText(model.player.output ?? 'opening output'), left);
  const right: Piece[] = output === '' ? fixed : [...fixed, piece('  '), piece(output, 'dim')];
  const room = Math.max(8, columns - lineWidth(right) - 4);
  return [piece(' '), ...fitLine([piece(fitText(title, room), 'title')], room), piece('  '), ...right];
}

/** Columns of an output's name below which it is no name. */
const leastOutput = 6;

/** The tempo that sounds: that of a ramp, of a change within the chart, of an outside clock; otherwise the one that is set. */
function tempoNow(stand: Stand): number {
  const { bpm } = stand.cursor;
  return bpm == null || Math.abs(bpm - stand.bpm) < 0.5 ? stand.bpm : Math.round(bpm);
}

/** The share of the chart's own tempo, where it is another. */
function shareText({ bpm, chart }: Stand): string {
  return bpm === chart.tempo.bpm ? '' : `${Math.round((100 * bpm) / chart.tempo.bpm)}%`;
}

/** What goes on: planning, ready, counting, which pass. Always of the same width, so that nothing beside it jumps. */
export function stateText(model: Model, stand: Stand): string {
  if (model.player.state === 'running') {
    if (stand.tuning) return 'tuning  ';
    if (stand.ladder && !stand.cursor.counting) return `pass ${stand.ladder.rungs.length + 1}`.padEnd(8);
    if (stand.cursor.counting) return `count ${(stand.cursor.beat ?? 0) + 1}`.padEnd(8);
    return `pass ${stand.cursor.pass}${stand.passes === null ? '' : ` of ${stand.passes}`}`.padEnd(8);
  }
  if (stand.asking !== null) return 'clean?  ';
  if (!isReady(model)) return 'planning';
  return (model.player.state === 'paused' && stand.begun ? 'paused' : 'ready').padEnd(8);
}
