import { safeText } from '../../base/safe-text.js';
import { meterText } from '../../chart/chart.js';
import { shortTempo } from '../../chart/label.js';
import { keyNow } from '../../playback/pass-view.js';
import type { Performance } from '../../playback/performance.js';
import type { Setup } from '../../playback/setup.js';
import { isReady } from '../../playback/transport.js';
import { keyName, withSigns } from '../../theory/key.js';
import type { Model } from '../state/model.js';
import type { StandView } from '../state/select.js';
import { hearsPieces, hearsWord } from './hears.js';
import { fitLine, fitText, type Line, lineWidth, type Piece, piece, textWidth } from './line.js';

/** How the head says that it is listened to: with a meter of the level, or with a word alone. */
export type HearsShown = 'meter' | 'word';

/** Title at the left; key, tempo, meter, pass, the ear and the output at the right. */
export function headLine(model: Model, shown: StandView, columns: number, hears: HearsShown = 'meter'): Line {
  const { unicode } = model.look;
  const { link } = model.session;
  const { setup } = shown.performance;
  const name = keyName(keyNow(shown.performance));
  const key = unicode ? withSigns(name) : name;
  const parts: Piece[] = [
    piece(key.padEnd(3), 'key'),
    piece(
      shortTempo(
        { ...setup.chart.tempo, bpm: tempoNow(shown.performance, model.mode.kind === 'follow') },
        unicode,
      ),
    ),
    piece(shareText(setup), 'dim'),
    piece(meterText(setup.chart.meter)),
    piece(stateText(model, shown), link.state === 'running' ? 'count' : 'plain'),
  ];
  const fixed: Piece[] = parts
    .filter((one) => one.text !== '')
    .flatMap((one, index) => (index === 0 ? [one] : [piece('  '), one]));
  // That it listens is always shown.
  const ear = hears === 'meter' ? hearsPieces(model.ear, unicode) : wordPieces(hearsWord(model.ear));
  if (ear.length > 0) fixed.push(piece('  '), ...ear);
  // The title needs its room first; the output's name has what is left, if that is enough to be read.
  const title = safeText(shown.mode.kind === 'transcribe' ? 'writing down' : setup.chart.title);
  const most = columns - lineWidth(fixed) - 4;
  const left = Math.min(24, most - textWidth(title) - 2);
  const output = left < leastOutput ? '' : fitText(safeText(link.output ?? 'opening output'), left);
  const right: Piece[] = output === '' ? fixed : [...fixed, piece('  '), piece(output, 'dim')];
  const room = Math.max(8, columns - lineWidth(right) - 4);
  return [piece(' '), ...fitLine([piece(fitText(title, room), 'title')], room), piece('  '), ...right];
}

function wordPieces(word: string): Piece[] {
  return word === '' ? [] : [piece(word, 'dim')];
}

/** Columns of an output's name below which it is not a name. */
const leastOutput = 6;

/** A follower's tempo is bent by a fiftieth at most (`band/steer.ts`). */
const mostBent = 0.022;

/** The tempo that sounds: that of a ramp, of a change within the chart, of an external clock; otherwise the one that is set. A follower is a little faster or slower while it adjusts to the leader's time: that is not a tempo to be read. */
function tempoNow({ cursor: { bpm }, setup }: Performance, follows: boolean): number {
  const least = follows ? Math.max(0.5, mostBent * setup.bpm) : 0.5;
  return bpm == null || Math.abs(bpm - setup.bpm) < least ? setup.bpm : Math.round(bpm);
}

/** The share of the chart's own tempo, where it is another. */
function shareText({ bpm, chart }: Setup): string {
  return bpm === chart.tempo.bpm ? '' : `${Math.round((100 * bpm) / chart.tempo.bpm)}%`;
}

/** What goes on: planning, ready, counting, which pass. Always of the same width, so that nothing beside it jumps. */
function stateText({ session }: Model, { performance, drill, mode }: StandView): string {
  const { cursor, tuning, begun, setup } = performance;
  const { state } = session.link;
  if (state === 'running') {
    if (tuning) return 'tuning  ';
    if (drill?.ladder && !cursor.counting) return `pass ${drill.ladder.rungs.length + 1}`.padEnd(8);
    if (cursor.counting) return `count ${(cursor.beat ?? 0) + 1}`.padEnd(8);
    if (drill?.dictation) return 'asks    ';
    // What is written down as it is called has no passes yet.
    if (mode.kind === 'transcribe') return `bar ${cursor.bar + 1}`.padEnd(8);
    return `pass ${cursor.pass}${setup.passes === null ? '' : ` of ${setup.passes}`}`.padEnd(8);
  }
  if (drill && drill.asking !== null) return 'clean?  ';
  if (drill && drill.hearing !== null) return 'judging ';
  if (!isReady(session)) return 'planning';
  return (state === 'paused' && begun ? 'paused' : 'ready').padEnd(8);
}
