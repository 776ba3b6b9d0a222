import fc from 'fast-check';
import { Loop } from '../../src/player/loop.js';
import type { FromPlayer } from '../../src/player/messages.js';
import { begin, type Conductor, type Take } from '../../src/time/conductor.js';
import { eventSize } from '../../src/time/event.js';
import { type Segment, type Span, tickAt } from '../../src/time/segment.js';
import { goOn } from '../time/takes.js';
import { RecordingOutput, VirtualHost } from './virtual-host.js';

/** Milliseconds between two limits, all alike: fast-check's own doubles lie close to zero for the most part. */
export const between = (least: number, most: number): fc.Arbitrary<number> =>
  fc.integer({ min: least * 1e5, max: most * 1e5 }).map((value) => value / 1e5);

/** A loop in virtual time with an output that records, and what it announced. */
export class Rig {
  readonly announced: FromPlayer[] = [];
  readonly host: VirtualHost;
  readonly output: RecordingOutput;
  readonly loop: Loop;
  /** For each message the tick of its time, by the spans known when it was sent. */
  readonly ticks: number[] = [];

  constructor(lead = 0, host = new VirtualHost()) {
    this.host = host;
    this.output = new RecordingOutput(host, lead, (at) => this.ticks.push(tickAt(this.spans, at)));
    this.loop = new Loop(host, (message) => this.announced.push(message));
    this.loop.setOutput(this.output);
  }

  /** A rig whose timers fire late. */
  static withTimers(lateMs: (ms: number) => number): Rig {
    return new Rig(0, new VirtualHost(5000, lateMs));
  }

  /** Queues segments and plays them from the start of the first. */
  play(segments: readonly Segment[]): void {
    this.loop.append(segments);
    this.loop.play(segments[0]?.startTick ?? 0);
  }

  /** The spans that were announced last. */
  get spans(): readonly Span[] {
    return this.said('spans').at(-1)?.spans ?? [];
  }

  said<Kind extends FromPlayer['kind']>(kind: Kind): Extract<FromPlayer, { kind: Kind }>[] {
    return this.announced.filter((one): one is Extract<FromPlayer, { kind: Kind }> => one.kind === kind);
  }

  /** States in the order they were announced. */
  get states(): string[] {
    return this.said('state').map((one) => one.state);
  }
}

/** One note of the timeline. */
export interface Due {
  readonly tick: number;
  readonly time: number;
  readonly end: number;
  readonly status: number;
  readonly note: number;
}

/** A stretch of the timeline: a segment where it is played, from one tick up to another. */
interface Stretch {
  readonly segment: Segment;
  readonly start: number;
  readonly skip: number;
  readonly end: number;
}

/**
 * What must sound, worked out apart from the player: segments one behind the other from the first one's start
 * at `time`, the last repeated up to tick `until` when it repeats. Notes before the start are left out.
 */
export function timeline(
  segments: readonly Segment[],
  time: number,
  until = Number.POSITIVE_INFINITY,
): Due[] {
  const stretches = laidOut(segments, until);
  const first = stretches[0]?.start ?? 0;
  const tempos = stretches.flatMap(({ segment, start, skip }) =>
    pairs(segment).map(([at, ms]) => [start + Math.max(0, at - skip), ms] as const),
  );
  const timeOf = (tick: number): number => {
    let at = time;
    tempos.forEach(([from, ms], index) => {
      const to = Math.min(tick, tempos[index + 1]?.[0] ?? Number.POSITIVE_INFINITY);
      if (to > from) at += (to - from) * ms;
    });
    return at;
  };
  const notes = stretches.flatMap(({ segment, start, skip, end }) =>
    packed(segment)
      .filter(([at]) => at >= skip || (at < 0 && skip === 0))
      .map(([at, length, message]) => ({ tick: start - skip + at, length, message }))
      .filter(({ tick }) => tick >= first && tick < Math.min(end, until)),
  );
  return notes
    .sort((one, other) => one.tick - other.tick)
    .map(({ tick, length, message }) => ({
      tick,
      time: timeOf(tick),
      end: timeOf(tick + length),
      status: message & 0xff,
      note: (message >> 8) & 127,
    }));
}

function laidOut(segments: readonly Segment[], until: number): Stretch[] {
  const made: Stretch[] = [];
  let start = segments[0]?.startTick ?? 0;
  const put = (segment: Segment, skip: number): void => {
    const end = start + segment.length + segment.skip - skip;
    made.push({ segment, start, skip, end });
    start = end;
  };
  for (const segment of segments) put(segment, segment.skip);
  const last = segments.at(-1);
  // One round more than is asked for: its early notes come before its start.
  while (last?.onEnd === 'repeat' && start < until) put(last, 0);
  if (last?.onEnd === 'repeat') put(last, 0);
  return made;
}

function pairs(segment: Segment): (readonly [at: number, ms: number])[] {
  return Array.from(
    { length: segment.tempoMap.length / 2 },
    (_, index) => [segment.tempoMap[index * 2] as number, segment.tempoMap[index * 2 + 1] as number] as const,
  );
}

function packed(segment: Segment): (readonly [at: number, length: number, message: number])[] {
  return Array.from({ length: segment.events.length / eventSize }, (_, index) => {
    const [at = 0, length = 0, message = 0] = segment.events.slice(index * eventSize, index * eventSize + 3);
    return [at, length, message] as const;
  });
}

/** How what was sent differs from what was due: in number, in note, or by more than a millionth of a millisecond. */
export function differences(
  sent: readonly { readonly status: number; readonly note: number; readonly time: number }[],
  due: readonly { readonly status: number; readonly note: number; readonly time: number }[],
): string[] {
  // Rounded for the order only, so that two times that are the same but for the last digits sort alike.
  const sorted = (rows: typeof sent): (typeof sent)[number][] =>
    [...rows].sort(
      (one, other) =>
        Math.round(one.time * 1e3) - Math.round(other.time * 1e3) ||
        one.status - other.status ||
        one.note - other.note,
    );
  const [left, right] = [sorted(sent), sorted(due)];
  const told = (row: (typeof sent)[number] | undefined): string =>
    row ? `${row.status.toString(16)} ${row.note} at ${row.time.toFixed(7)}` : 'nothing';
  return Array.from({ length: Math.max(left.length, right.length) }, (_, index) => {
    const [one, other] = [left[index], right[index]];
    const same =
      one?.status === other?.status &&
      one?.note === other?.note &&
      Math.abs((one?.time ?? 0) - (other?.time ?? 0)) < 1e-6;
    return same ? '' : `sent ${told(one)}, due ${told(other)}`;
  }).filter((line) => line !== '');
}

/** A take under way for some time, its conductor fed as far as that. */
export function under(made: Take, ms: number, lead = 0): { rig: Rig; conductor: Conductor; first: number } {
  const rig = new Rig(lead);
  const { conductor, segments } = goOn(begin(made, made.range?.from ?? 0, 0), 80_000);
  rig.play(segments);
  const first = rig.spans[0]?.time as number;
  rig.host.advance(first + ms);
  return { rig, conductor, first };
}
