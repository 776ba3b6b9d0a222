import { type Span, tickAt, timeAt } from '../time/segment.js';

/*
 * How a stand that is off returns to the leader's time. Nothing jumps: it is a little faster or slower until it is there. Nobody
 * notices a displacement below 6 ms, nor an interval that is off by less than a fortieth (Friberg and Sundberg 1995).
 */

/** A correction is at most this share of the tempo, if that is enough to end it soon. */
const mostShare = 0.02;
/** However far off within a beat, it is over in this long, ms; and none is over sooner than that. */
const longestMs = 2000;
const shortestMs = 250;
/** What is off by less is left, ms. */
export const leastMs = 0.05;
/** A tick that lasts longer is one of time that stands still, ms. */
const stillMs = 1e6;

/** The span that holds at a tick. */
function spanAt(spans: readonly Span[], tick: number): Span {
  return spans.findLast((one) => one.tick <= tick) ?? (spans[0] as Span);
}

/**
 * From the line that is played to the line that is wanted: as it is up to `from` (ms), then spread until both meet. Both are spans of the
 * same ticks on the same clock, sorted; what is wanted has one at least.
 */
export function steered(played: readonly Span[], wanted: readonly Span[], from: number): readonly Span[] {
  if (played.length === 0) return wanted;
  const tick = tickAt(played, from);
  const before = played.filter((one) => one.tick < tick).slice(-2);
  const off = from - timeAt(wanted, tick);
  const { msPerTick } = spanAt(wanted, tick);
  const later = wanted.filter((one) => one.tick > tick);
  if (msPerTick > stillMs || Math.abs(off) < leastMs)
    return [...before, { tick, time: from, msPerTick }, ...later];
  const lasts = Math.min(longestMs, Math.max(shortestMs, Math.abs(off) / mostShare));
  const end = from + Math.max(lasts, 2 * Math.abs(off));
  // By as much as it is off where it begins, and by less and less up to the end.
  const spreadTime = (time: number): number =>
    time >= end ? time : time + (off * (end - time)) / (end - from + off);
  const last = tickAt(wanted, end);
  const knots = [tick, ...later.map((one) => one.tick).filter((one) => one < last), last];
  const spread = knots.slice(0, -1).flatMap((one, index): Span[] => {
    const next = knots[index + 1] as number;
    const [time, then] = [spreadTime(timeAt(wanted, one)), spreadTime(timeAt(wanted, next))];
    return next > one ? [{ tick: one, time, msPerTick: Math.max(1e-9, (then - time) / (next - one)) }] : [];
  });
  const met = { tick: last, time: timeAt(wanted, last), msPerTick: spanAt(wanted, last).msPerTick };
  return [...before, ...spread, met, ...wanted.filter((one) => one.tick > last)];
}

/** How far, ms, two lines are apart at most between two ticks; what lies beyond `until` (ms) in both is not looked at. */
export function apart(
  one: readonly Span[],
  other: readonly Span[],
  from: number,
  to: number,
  until: number,
): number {
  const ticks = [
    from,
    to,
    ...[...one, ...other].map(({ tick }) => tick).filter((tick) => tick > from && tick < to),
  ];
  return ticks.reduce((most, tick) => {
    const [here, there] = [timeAt(one, tick), timeAt(other, tick)];
    return Math.max(most, Math.abs(Math.min(here, until) - Math.min(there, until)));
  }, 0);
}
