import { tempoLimits } from '../../../chart/change.js';
import { type Chart, countedQuarters, quartersPerBeat } from '../../../chart/chart.js';
import { withSetup } from '../../../playback/session.js';
import type { Setup } from '../../../playback/setup.js';
import type { Key } from '../../../theory/key.js';
import type { Model } from '../../state/model.js';
import type { StandMode } from '../../state/modes.js';
import { noticed, type Step, step, withStand } from '../step.js';
import { openLine } from './type-line.js';

/** Beats a minute that a key press is worth. */
export const tempoStep = 5;
/** Percent of the chart's own tempo that a key press is worth. */
const shareStep = 10;
/** A tap later than this begins again, ms: slower than any tempo that can be set. */
const longestTap = 3200;
/** Taps that count, the last ones. */
const mostTaps = 9;

/** A tempo within the limits, in whole beats a minute. */
export function tempoWithin(bpm: number): number {
  return Math.max(tempoLimits.least, Math.min(tempoLimits.most, Math.round(bpm)));
}

/** Another tempo, as the chart counts, within the limits. */
export function setTempo(model: Model, bpm: number): Step {
  const { session } = model;
  const before = session.performance?.setup.bpm;
  const limited = tempoWithin(bpm);
  if (limited === before)
    return limited === Math.round(bpm)
      ? step(model)
      : noticed(model, `the tempo goes from ${tempoLimits.least} to ${tempoLimits.most}`);
  return step({ ...model, notice: '', session: withSetup(session, { bpm: limited }) });
}

/** A share of the chart's own tempo, in percent. */
export function setShare(model: Model, { chart, bpm }: Setup, percent: number): Step {
  const wanted = (chart.tempo.bpm * percent) / 100;
  const set = setTempo(model, wanted);
  if (wanted < tempoLimits.least || wanted > tempoLimits.most)
    return noticed(set.model, `the tempo goes from ${tempoLimits.least} to ${tempoLimits.most}`);
  const now = set.model.session.performance?.setup.bpm ?? bpm;
  return noticed(set.model, `${shareText(percent)}: ${now}`);
}

function shareText(percent: number): string {
  return percent === 100 ? 'the chart’s tempo' : `${percent} % of the chart’s tempo`;
}

/** Opens a line for a share of the tempo. */
export function openShare(model: Model): Step {
  return openLine(model, { kind: 'share' }, 'percent of the chart’s tempo');
}

/** What is wrong with a share that is being typed; empty when nothing is. */
export function shareFault({ session: { performance } }: Model, text: string): string {
  const wanted = text.trim();
  if (!performance || wanted === '') return '';
  const { bpm } = performance.setup.chart.tempo;
  const least = Math.ceil((100 * tempoLimits.least) / bpm);
  const most = Math.floor((100 * tempoLimits.most) / bpm);
  const percent = percentOf(wanted);
  if (percent === null) return `“${wanted}” is not a whole number of percent, such as 85`;
  return percent < least || percent > most ? `from ${least} to ${most} percent here` : '';
}

/** Takes the share that was typed. */
export function shareTyped(model: Model, text: string): Step {
  const { performance } = model.session;
  const percent = percentOf(text.trim());
  return performance && percent !== null ? setShare(model, performance.setup, percent) : step(model);
}

function percentOf(text: string): number | null {
  const [, figures] = /^(\d{1,4})\s*%?$/.exec(text) ?? [];
  return figures === undefined ? null : Number(figures);
}

/** To the next step of ten percent of the chart's own tempo, up or down. */
export function stepShare(model: Model, { chart, bpm }: Setup, way: 1 | -1): Step {
  const share = (100 * bpm) / chart.tempo.bpm;
  const steps = way > 0 ? Math.floor(share / shareStep + 0.05) + 1 : Math.ceil(share / shareStep - 0.05) - 1;
  const set = setTempo(model, (chart.tempo.bpm * steps * shareStep) / 100);
  const now = set.model.session.performance?.setup.bpm ?? bpm;
  return now === bpm ? set : noticed(set.model, `${steps * shareStep} % of the chart’s tempo`);
}

/** A tap, once a felt beat: from the third on they make the tempo. */
export function tap(model: Model, mode: StandMode, { chart, bpm }: Setup, at: number): Step {
  const last = mode.stand.taps.at(-1);
  const taps =
    last === undefined || at - last > longestTap ? [at] : [...mode.stand.taps, at].slice(-mostTaps);
  const tapped: Model = { ...model, mode: withStand(mode, { taps }) };
  const beat = tappedBeat(taps);
  if (beat === null) return noticed(tapped, 'keep tapping, once a beat');
  const set = setTempo(tapped, countedTempo(chart, beat));
  return noticed(set.model, `tapped: ${set.model.session.performance?.setup.bpm ?? bpm}`);
}

/** The middle one of the times between taps, ms: one slip does not count. */
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

/** Puts the chart on the stand into another key; the hand is planned again. */
export function setKey(model: Model, key: Key): Step {
  return step({ ...model, notice: '', session: withSetup(model.session, { key }) });
}
