import { type Chart, quartersPerBeat, quarterTempo } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import { mandolin } from '../hand/instrument.js';
import { type NumberChord, parseNumber } from '../theory/number.js';
import { type Drill, plainStart } from './drill.js';
import {
  chainDrill,
  type DrillHand,
  dampedDrill,
  fretDrill,
  gapsDrill,
  keyDrill,
  orderDrill,
  pairDrill,
  phraseAt,
  phraseDrill,
  ringDrill,
} from './drills.js';
import { laterDrill } from './later.js';
import type { ChartWay } from './task.js';

/** What a way needs besides its chart: two numbers as `1 4`, a bar from 1. */
export interface WayOf {
  readonly chords?: string | null;
  readonly bar?: number | null;
  /** Whose hand decides which way is easy; the usual one on a mandolin where nothing is said. */
  readonly hand?: DrillHand;
}

/** The hand to use if none is named. */
const anyHand: DrillHand = { instrument: mandolin, plan: {} };

/** A chart practised in some way; `null` where it cannot be, as two chords that are not named. */
export function wayDrill(
  chart: Chart,
  way: ChartWay,
  { chords = null, bar = null, hand = anyHand }: WayOf = {},
): Drill | null {
  switch (way) {
    case 'fret':
      return fretDrill(chart);
    case 'ring':
      return ringDrill(chart);
    case 'order':
      return orderDrill(chart);
    case 'damped':
      return dampedDrill(chart);
    case 'gaps':
      return gapsDrill(chart);
    case 'pair': {
      const pair = twoNumbers(chords ?? '');
      return pair && pairDrill(chart, pair[0], pair[1]);
    }
    case 'phrase': {
      const { bars } = unroll(chart);
      const [from, to] = phraseAt(bars, Math.min(bar ?? 1, bars.length) - 1);
      return phraseDrill(chart, bars, from, to);
    }
    case 'chain': {
      if (bar !== null) return laterDrill(chart, { bar, key: '' });
      const { bars } = unroll(chart);
      const [from, to] = phraseAt(bars, 0);
      return chainDrill(chart, bars, from, Math.max(to, Math.min(bars.length, from + 4)));
    }
    default:
      return keyDrill(chart, way, hand);
  }
}

/** The picking hand alone in the chart's own pattern: a beginner has no use for all the others. */
export function dampedStrings(chart: Chart): Drill {
  const title = `${chart.title}, strings damped`;
  return {
    kind: 'damped',
    title,
    says: 'The picking hand alone: the other lies across the strings and damps them. Every stroke as short as the one before.',
    chart: { ...chart, title },
    start: { ...plainStart, voices: { bass: false, low: true, chop: true, lead: false } },
    from: chart.title,
  };
}

/** `1 4`, `1,6-`: two numbers; `null` for anything else. */
export function twoNumbers(text: string): readonly [NumberChord, NumberChord] | null {
  const read = text
    .trim()
    .split(/[\s,]+/)
    .map((word) => parseNumber(word));
  const [one, other] = read;
  return read.length === 2 && one?.ok && other?.ok ? [one.value, other.value] : null;
}

/** A whole song, as often as there is time for, at least once. */
export function songDrill(chart: Chart, minutes: number, says: string, share = 1): Drill {
  return {
    kind: 'song',
    title: chart.title,
    says,
    chart,
    start: { share, ladder: false, exact: true, passes: passesIn(chart, minutes, share) },
    from: chart.title,
  };
}

/** The most passes of a song in one go: more is a drill. */
const mostPasses = 4;

/** How many whole passes of a chart fit into some minutes, at least one. */
function passesIn(chart: Chart, minutes: number, share: number): number {
  return Math.max(1, Math.min(mostPasses, Math.floor(minutes / passMinutes(chart, share))));
}

/** Minutes a pass of a chart takes at a share of its tempo, with a bar to count in. */
export function passMinutes(chart: Chart, share = 1): number {
  const { bars } = unroll(chart);
  const beats = bars.reduce((sum, bar) => sum + bar.beats * quartersPerBeat(bar.meter), 0);
  const count = bars[0] ? bars[0].beats * quartersPerBeat(bars[0].meter) : 0;
  return (beats + count) / (quarterTempo(chart.tempo) * share);
}
