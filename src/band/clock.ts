import { type ClockLine, type ClockSample, errorAt, lineThrough, offsetAt, sampleOf } from './clock-line.js';

/** What is known of the leader's clock, and what was asked. Times are ms of our own clock. */
export interface LeaderClock {
  /** When the questions were sent that have no answer yet; a question is known by that time. */
  readonly asked: readonly number[];
  readonly samples: readonly ClockSample[];
  /** The newest samples that cannot be of the same line: a clock was put elsewhere, or a machine slept. */
  readonly strays: readonly ClockSample[];
  readonly line: ClockLine | null;
  /** When it began to be asked quickly. */
  readonly since: number;
  /** When the last question was sent; −∞ before. */
  readonly last: number;
}

/** This many samples are kept: in the long run ten minutes or more of them. */
const mostSamples = 64;
/** Questions without an answer are forgotten beyond this many. */
const mostAsked = 32;
/** An answer that takes longer is of no use, ms. */
const longestDelay = 2000;
/** This many samples that agree on another line make one. */
const agreeingStrays = 3;

/** How often to ask: until this many ms after the beginning, every this many ms. */
const pace = [
  { until: 1000, every: 80 },
  { until: 5000, every: 400 },
  { until: 30_000, every: 2000 },
] as const;
/** In the long run it is asked after this many beats, within these limits in ms: two messages each time. */
const steadyBeats = 20;
const steadyLeast = 8000;
const steadyMost = 30_000;

/** A clock is known well enough to begin by when its line is off by no more than this, ms; or by this many samples; or after this long, ms. */
const fineError = 3;
const fineSamples = 4;
const longestWait = 500;

/** Whether music may begin by what is known of a clock: a first answer that was held up on its way would put it beside the beat. */
export function isFine({ line, samples, since }: LeaderClock, at: number): boolean {
  if (!line) return false;
  return line.error <= fineError || samples.length >= fineSamples || at - since >= longestWait;
}

/** A clock of which nothing is known yet. */
export function newClock(at: number): LeaderClock {
  return { asked: [], samples: [], strays: [], line: null, since: at, last: Number.NEGATIVE_INFINITY };
}

/** It is asked quickly again: the network was away, or something has happened to a machine. What is known holds on. */
export function hurried(clock: LeaderClock, at: number): LeaderClock {
  return { ...clock, since: at, asked: [] };
}

/** When to ask next. `beatMs`: how long a felt beat lasts, `null` while nothing plays. */
export function asksAt({ since, last, strays }: LeaderClock, beatMs: number | null): number {
  if (last < since) return since;
  if (strays.length > 0) return last + pace[0].every;
  const quick = pace.find(({ until }) => last - since < until);
  const steady = Math.min(steadyMost, Math.max(steadyLeast, steadyBeats * (beatMs ?? steadyMost)));
  return last + (quick?.every ?? steady);
}

/** A question leaves at `at`. */
export function asked(clock: LeaderClock, at: number): LeaderClock {
  return { ...clock, asked: [...clock.asked, at].slice(-mostAsked), last: at };
}

/** An answer has come at `t4`. One that was not asked for, or comes again, changes nothing. */
export function answered(
  clock: LeaderClock,
  { t1, t2, t3 }: { readonly t1: number; readonly t2: number; readonly t3: number },
  t4: number,
): LeaderClock {
  if (!clock.asked.includes(t1)) return clock;
  const waiting: LeaderClock = { ...clock, asked: clock.asked.filter((one) => one !== t1) };
  const sample = sampleOf(t1, t2, t3, t4);
  if (!sample || sample.delay > longestDelay) return waiting;
  if (waiting.line && !fits(waiting.line, sample)) return strayed(waiting, sample);
  const samples = inOrder([...waiting.samples, sample]).slice(-mostSamples);
  return { ...waiting, samples, strays: [], line: lineThrough(samples) };
}

/** Whether a sample can be of a line: both are off by no more than they may be. */
function fits(line: ClockLine, { at, offset, delay }: ClockSample): boolean {
  return Math.abs(offset - offsetAt(line, at)) <= delay / 2 + errorAt(line, at) + 0.1;
}

/** A sample that no way of the messages explains: when several of them agree, they are the line. */
function strayed(clock: LeaderClock, sample: ClockSample): LeaderClock {
  const agreeing = clock.strays.filter(
    (one) => Math.abs(one.offset - sample.offset) <= (one.delay + sample.delay) / 2 + 0.1,
  );
  const strays = inOrder([...agreeing, sample]);
  if (strays.length < agreeingStrays) return { ...clock, strays };
  // What was known before is of no use; what comes now is asked for quickly.
  return { ...clock, samples: strays, strays: [], line: lineThrough(strays), since: sample.at };
}

function inOrder(samples: readonly ClockSample[]): readonly ClockSample[] {
  return [...samples].sort((one, other) => one.at - other.at);
}
