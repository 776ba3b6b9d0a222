import { safeText } from '../../base/safe-text.js';
import type { RoundTrip } from '../../listen/calibration.js';

/** A drift of clicks that is reported, ms in a minute: less is within what sixteen of them can show. */
const leastDrift = 3;

/**
 * What a calibration found, in lines for a person. Of a hand with headphones spread and drift are reported; the offset holds its lead as
 * well as sound's way, and so is no lead.
 */
export function toldOf(trip: RoundTrip, from: string, to: string, headphones: boolean): readonly string[] {
  const { ms, spreadMs, driftMs, heard, made } = trip;
  const between = `from ${safeText(from)} to ${safeText(to)}`;
  if (headphones)
    return [
      `${heard} of ${made} beats were heard: spread ${text(spreadMs)}, ${drifted(trip)}, ${between}`,
      `The offset of ${text(ms)} includes the delay of the sound and your own early or late playing: strokes are judged by their spread and drift, not by an absolute offset.`,
    ];
  const found = `round trip ${text(ms)}, spread ${text(spreadMs)} (${heard} of ${made} clicks), ${between}`;
  const moves = `it ${driftMs > 0 ? 'grows' : 'shrinks'} by ${text(Math.abs(driftMs))} in a minute`;
  return Math.abs(driftMs) > leastDrift ? [found, moves] : [found];
}

/** A hand is heard for some seconds only: its drift is told over them, not stretched to a minute. */
function drifted({ driftMs, overMs }: RoundTrip): string {
  const ms = (driftMs * overMs) / 60_000;
  const way = ms > 0 ? 'later' : 'earlier';
  return `${text(Math.abs(ms))} ${way} at the end than at the beginning`;
}

function text(ms: number): string {
  return `${ms.toFixed(1)} ms`;
}
