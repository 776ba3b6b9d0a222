import fc from 'fast-check';
import { type Conducted, feed, type Take } from '../../src/time/conductor.js';
import { eventSize } from '../../src/time/event.js';
import type { Segment } from '../../src/time/segment.js';
import { score } from './scores.js';

/** One pass, whole, at its own tempo, after one bar of count-in. */
export function take(written: string, changes: Partial<Take> = {}, head = {}): Take {
  return { score: score(written, head), passes: 1, share: 1, countIn: 1, ...changes };
}

/** Goes on to a tick as a player would: in steps short enough that more is always fed in time. */
export function goOn(from: Conducted, to: number, step = 5000): Conducted {
  let { conductor, segments } = from;
  const begun = conductor.sent.at(-1)?.startTick ?? 0;
  for (let tick = Math.min(begun, to); ; tick = Math.min(to, tick + step)) {
    const fed = feed(conductor, tick);
    conductor = fed.conductor;
    segments = [...segments, ...fed.segments];
    if (tick >= to) return { conductor, segments };
  }
}

/** The events of a segment that it plays, by transport tick. */
export function eventsOf(segment: Segment): { tick: number; note: number; channel: number }[] {
  const { events, startTick, skip, length } = segment;
  return Array.from({ length: events.length / eventSize }, (_, index) => {
    const message = events[index * eventSize + 2] as number;
    return { at: events[index * eventSize] as number, note: (message >> 8) & 127, channel: message & 15 };
  })
    .filter(({ at }) => at < skip + length && (at >= skip || skip === 0))
    .map(({ at, ...rest }) => ({ tick: startTick - skip + at, ...rest }));
}

/** Bars on which the clicks of a segment begin: one accent a bar. */
export function accents(segment: Segment): number[] {
  return eventsOf(segment)
    .filter(({ note, channel }) => channel === 9 && note === 76)
    .map(({ tick }) => tick);
}

const bar = fc.constantFrom(
  '1',
  '4',
  '(1.. 4..)',
  '(1. 5.)',
  '(1.... 4.)',
  '@3/4 1',
  '@4/4 5',
  '@tempo=90 1',
  '1~',
);
const passage = fc.array(bar, { minLength: 1, maxLength: 10 }).map((list) => list.join(' '));

/** Takes of all kinds: crooked bars, changes of meter and tempo, loops, once, twice or without end. */
export const anyTake = fc
  .record({
    written: passage,
    passes: fc.constantFrom(null, 1, 2, 3),
    countIn: fc.constantFrom(0, 1, 2),
    share: fc.constantFrom(0.5, 0.8, 1),
    loop: fc.option(fc.tuple(fc.nat(), fc.nat()), { freq: 2 }),
  })
  .map(({ written, loop, ...changes }): Take => {
    const made = take(written, changes, { crooked: 'yes' });
    if (!loop) return made;
    const count = made.score.bars.length;
    const from = loop[0] % count;
    return { ...made, range: { from, to: from + 1 + (loop[1] % (count - from)) } };
  });
