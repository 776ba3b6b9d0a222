import { tempoLimits } from '../../chart/change.js';
import { type Chart, countedQuarters, feltBeats, quartersPerBeat } from '../../chart/chart.js';
import {
  noticed,
  type Played,
  type Session,
  unmoved,
  withPerformance,
  withSetup,
} from '../../playback/session.js';
import { beatMs, type Setup } from '../../playback/setup.js';
import { isReady, playAt } from '../../playback/transport.js';
import { startDelay } from '../../player/messages.js';
import type { EvenChops } from '../four-chops.js';

/** A count has at least this many strokes: fewer happen by chance. */
const fewest = 4;
/**
 * How far the tempo chopped may be from the one that is set or the chart's own, as shares of the slower and of the faster. Half of it is left
 * out: strokes on every other beat would be taken for a slow tempo.
 */
const reach = { least: 0.6, most: 1.3 };
/** From here to the player's process, ms. */
const sendMs = 5;
/** Strokes are assumed to be heard this late if it was never measured, ms: usual for a laptop's microphone and its buffers. */
const usualLate = 40;

/** How the music begins by chops. */
export interface ChopStart {
  /** How late strokes are heard and the program's own sounds come out, together, ms; `null` where that was never measured. */
  readonly late: number | null;
  /** The tempo is prescribed, as on a ladder: the chops only start it, and its count-in is counted. */
  readonly prescribed: boolean;
}

/** How many chops begin a chart: whole bars, a stroke for each felt beat, and never fewer than four. Four where there is no chart yet. */
export function chopCount(chart: Pick<Chart, 'meter'> | null): number {
  if (!chart) return fewest;
  const beats = feltBeats(chart.meter);
  return beats * Math.ceil(fewest / beats);
}

/** The tempo of beats this many ms long, as the chart counts, in whole beats a minute; `null` when it is out of reach. */
export function choppedTempo({ chart, bpm }: Pick<Setup, 'chart' | 'bpm'>, beat: number): number | null {
  const felt = (60_000 / beat) * quartersPerBeat(chart.meter);
  const tempo = felt / countedQuarters[chart.tempo.count];
  const least = Math.max(tempoLimits.least, reach.least * Math.min(bpm, chart.tempo.bpm));
  const most = Math.min(tempoLimits.most, reach.most * Math.max(bpm, chart.tempo.bpm));
  return tempo >= least && tempo <= most ? Math.round(tempo) : null;
}

/**
 * Begins the music on the beat that follows the chops, at their tempo: they were the count-in. Where the output cannot have that beat in time, the
 * bar that it begins is counted, as far as it can be heard, and the music begins with the next.
 */
export function startByChops(
  session: Session,
  chops: EvenChops,
  { late, prescribed }: ChopStart,
  at: number,
): Played {
  const { performance, link } = session;
  if (!performance || link.state === 'running') return unmoved(session);
  if (link.following.label !== null) return noticed(session, 'the external clock starts and stops the music');
  const { setup } = performance;
  const tempo = choppedTempo(setup, chops.beat);
  if (tempo === null) return noticed(session, outOfReach(setup, chops.beat));
  const bpm = prescribed ? setup.bpm : tempo;
  const set = bpm === setup.bpm ? session : withSetup(session, { bpm });
  // If the hand is still being planned, the music begins as soon as possible, with its count-in.
  if (!isReady(session))
    return noticed(withPerformance(set, { eager: true }), 'the music begins as soon as the hand is planned');
  const next = chops.next - (late ?? usualLate);
  const soonest = at + link.lead + startDelay + sendMs;
  if (prescribed) {
    const beats = Math.max(0, Math.ceil((soonest - next) / chops.beat));
    return playAt(set, { at: next + beats * chops.beat, countIn: setup.countIn });
  }
  const assumed =
    late === null ? `; a delay of ${usualLate} ms is assumed: barkline listen --calibrate measures it` : '';
  const says = `${bpm}, as chopped`;
  if (next >= soonest) return withSays(playAt(set, { at: next, countIn: 0 }), says + assumed);
  return withSays(playAt(set, { at: next, countIn: 1 }), `${says}; it begins with the next bar${assumed}`);
}

function withSays(played: Played, text: string): Played {
  return { ...played, events: [...played.events, { kind: 'notice', text }] };
}

function outOfReach({ chart, bpm }: Setup, beat: number): string {
  const felt = Math.round(60_000 / beat);
  const set = Math.round(60_000 / beatMs({ chart, bpm }));
  return `you chopped at ${felt}, too far from the tempo ${set}: chop every beat, or set another tempo`;
}
