import { tempoLimits } from '../../chart/change.js';
import { type Chart, countedQuarters, quartersPerBeat } from '../../chart/chart.js';
import type { Key } from '../../theory/key.js';
import type { Click } from '../../time/click.js';
import type { Pattern } from '../../time/pattern.js';
import type { Model, Stand, Updated } from '../model.js';
import { askArrangement, retaken } from './arranging.js';

/** Beats a minute that a key press is worth. */
export const tempoStep = 5;
/** Percent of the chart's own tempo that a key press is worth. */
const shareStep = 10;
/** A tap later than this begins anew, ms: slower than any tempo there is. */
const longestTap = 3200;
/** Taps that count, the last ones. */
const mostTaps = 9;

/** Another tempo, as the chart counts; within what there is. */
export function setTempo(model: Model, stand: Stand, bpm: number): Updated {
  const limited = Math.max(tempoLimits.least, Math.min(tempoLimits.most, Math.round(bpm)));
  if (limited === stand.bpm && limited !== Math.round(bpm))
    return {
      model: { ...model, notice: `the tempo goes from ${tempoLimits.least} to ${tempoLimits.most}` },
      effects: [],
    };
  if (limited === stand.bpm) return { model, effects: [] };
  return askArrangement({ ...model, notice: '', stand: { ...stand, bpm: limited } });
}

/** To the next step of ten percent of the chart's own tempo, up or down. */
export function stepShare(model: Model, stand: Stand, way: 1 | -1): Updated {
  const share = (100 * stand.bpm) / stand.chart.tempo.bpm;
  const steps = way > 0 ? Math.floor(share / shareStep + 0.05) + 1 : Math.ceil(share / shareStep - 0.05) - 1;
  const bpm = (stand.chart.tempo.bpm * steps * shareStep) / 100;
  const set = setTempo(model, stand, bpm);
  const now = set.model.stand?.bpm ?? stand.bpm;
  const notice = now === stand.bpm ? set.model.notice : `${steps * shareStep} % of the chart’s tempo`;
  return { ...set, model: { ...set.model, notice } };
}

/** A tap, once a felt beat: from the third on they make the tempo. */
export function tap(model: Model, stand: Stand, at: number): Updated {
  const last = stand.taps.at(-1);
  const taps = last === undefined || at - last > longestTap ? [at] : [...stand.taps, at].slice(-mostTaps);
  const tapped: Stand = { ...stand, taps };
  const beat = tappedBeat(taps);
  if (beat === null)
    return { model: { ...model, notice: 'tap on, once a beat', stand: tapped }, effects: [] };
  const set = setTempo({ ...model, stand: tapped }, tapped, countedTempo(stand.chart, beat));
  return { ...set, model: { ...set.model, notice: `tapped: ${set.model.stand?.bpm ?? stand.bpm}` } };
}

/** The middle one of the times between taps, ms: one that slipped has no say. */
function tappedBeat(taps: readonly number[]): number | null {
  if (taps.length < 3) return null;
  const times = taps.slice(1).map((time, index) => time - (taps[index] as number));
  times.sort((one, other) => one - other);
  const middle = times.length / 2;
  return ((times[Math.floor(middle)] as number) + (times[Math.ceil(middle) - 1] as number)) / 2;
}

/** A tempo as the chart counts it, from the length of a felt beat in ms. */
function countedTempo({ meter, tempo }: Chart, beat: number): number {
  const quarters = (60_000 / beat) * quartersPerBeat(meter);
  return quarters / countedQuarters[tempo.count];
}

/** Puts the chart on the stand into another key; the hand is planned anew. */
export function setKey(model: Model, key: Key): Updated {
  if (!model.stand) return { model, effects: [] };
  return askArrangement({ ...model, panel: null, notice: '', stand: { ...model.stand, key } });
}

/** Another click: the music goes on at its place with it. */
export function setClick(model: Model, click: Click, at: number): Updated {
  if (!model.stand) return { model, effects: [] };
  return retaken({ ...model, panel: null, stand: { ...model.stand, click } }, at);
}

/** Another right-hand pattern; `null` leaves it to the chart. */
export function setPattern(model: Model, pattern: Pattern | null): Updated {
  if (!model.stand) return { model, effects: [] };
  return askArrangement({ ...model, panel: null, stand: { ...model.stand, pattern } });
}
