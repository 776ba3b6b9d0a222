import * as v from 'valibot';
import { bassWords } from '../chart/level.js';
import { heldMsPerTick, releasedMsPerTick, type Span } from '../time/segment.js';
import {
  barAt,
  growing,
  keyText,
  moment,
  mostPasses,
  passAt,
  tick,
  ticksLong,
  whole,
  within,
} from './schema.js';

/*
 * Where the music is: what the leader tells at each change, and now and then without one. Each of them holds all there is to know beside
 * the chart, so that the next one makes up for a lost one, and a late joiner needs only the last.
 */

/** The most spans, and places of the form, in one message. */
export const mostSpans = 64;
export const mostPlaces = 64;

/**
 * How far ahead of the first place the form is sent, ticks: half an hour and more. Whoever is told has to walk so far through the song,
 * and no farther.
 */
export const mostAhead = 4_000_000;

/** How the song is set up: what all have in common. What is `null` is as the chart says; no number of passes is without end. */
export const sharedSetup = v.object({
  key: keyText,
  /** Beats a minute, as the chart counts them. */
  bpm: within(1, 1000),
  passes: v.nullable(whole(1, mostPasses)),
  countIn: whole(0, 8),
  /** The bars that are looped, half open. */
  range: v.nullable(
    v.pipe(
      v.object({ from: barAt, to: whole(1, 10_000) }),
      v.check(({ from, to }) => from < to),
    ),
  ),
  /** The name of the right-hand pattern. */
  pattern: v.nullable(v.pipe(v.string(), v.maxLength(100))),
  bass: v.nullable(v.picklist(bassWords)),
  /** A tempo that rises bar by bar: to this share of the chart's, over this many bars. */
  ramp: v.nullable(v.object({ to: within(0.01, 100), bars: whole(1, 100_000) })),
  /** Whether held chords wait until the leader releases them. */
  holds: v.boolean(),
});

/** From a tick on the music is at a place, and goes on from there as written. */
export const formPlace = v.object({
  tick,
  pass: passAt,
  bar: barAt,
  /** Ticks into the bar; while `counting`, into the count. */
  into: ticksLong,
  /** Bars played before it since the take began, for tempos that rise. */
  before: whole(0, 1e9),
  counting: v.boolean(),
  /** The bar repeats with one of its chords until the next place. */
  vamp: v.boolean(),
});

/** At each of the ticks the music jumps to a bar of a pass. `passes`: of an ending, how many there would have been. */
export const sharedJump = v.object({
  kind: v.picklist(['again', 'ending']),
  ticks: v.pipe(
    v.array(tick),
    v.minLength(1),
    v.maxLength(mostPlaces),
    v.check((ticks) => growing(ticks, (one) => one)),
  ),
  bar: barAt,
  pass: passAt,
  passes: v.nullable(whole(1, mostPasses)),
});

/** A chord that is repeated until it is let go. */
export const sharedVamp = v.object({
  bar: barAt,
  cell: whole(0, 1000),
  pass: passAt,
  from: tick,
  into: ticksLong,
  until: v.nullable(tick),
});

const span = v.object({
  tick: within(0, 1e13),
  time: moment,
  msPerTick: within(releasedMsPerTick, heldMsPerTick),
});

/** Tempos that a tick can have, ms: from a thousand beats a minute in halves to five. */
const tempoMs = { least: 0.01, most: 100 };
/** A stop is no longer than this, ticks; and where a span ends the next begins, to this many ms. */
const longestStop = 1_000_000;
const seam = 1;

/** Whether time can run along spans: it never goes back, never leaps ahead, and never ends in a stop that is passed over. */
export function timeRuns(spans: readonly Span[]): boolean {
  return spans.every((one, index) => {
    const next = spans[index + 1];
    const isTempo = one.msPerTick >= tempoMs.least && one.msPerTick <= tempoMs.most;
    if (!isTempo && one.msPerTick !== heldMsPerTick && one.msPerTick !== releasedMsPerTick) return false;
    if (!next) return one.msPerTick !== releasedMsPerTick;
    if (next.tick < one.tick || next.time < one.time) return false;
    if (!isTempo) return next.tick - one.tick <= longestStop;
    return Math.abs(one.time + (next.tick - one.tick) * one.msPerTick - next.time) <= seam;
  });
}

/** The id of a chart's text. */
export const songId = v.pipe(v.string(), v.regex(/^[0-9a-z]{1,16}$/));

/** The body of a `now`. Ticks are the band's, times are ms of the leader's clock. */
export const nowBody = v.pipe(
  v.object({
    /** Which chart, by its id; `null` for none. */
    song: v.nullable(songId),
    state: v.picklist(['running', 'paused', 'stopped']),
    /** Another one each time the music is started: ticks of one take have nothing to do with another's. */
    take: v.pipe(v.string(), v.regex(/^[\w.-]{1,80}$/)),
    setup: sharedSetup,
    /** Where the leader's cursor stands while nothing runs. */
    cursor: v.object({ bar: barAt, pass: passAt }),
    spans: v.pipe(
      v.array(span),
      v.maxLength(mostSpans),
      v.check((spans) => timeRuns(spans)),
    ),
    places: v.pipe(
      v.array(formPlace),
      v.maxLength(mostPlaces),
      v.check((places) => growing(places, (one) => one.tick)),
    ),
    jump: v.nullable(sharedJump),
    vamp: v.nullable(sharedVamp),
  }),
  v.check(({ state, spans, places }) => state !== 'running' || (spans.length > 0 && places.length > 0)),
  v.check(({ places, vamp }) => vamp !== null || !places.some((one) => one.vamp)),
  v.check(({ places, jump, vamp }) => {
    const first = places[0]?.tick ?? 0;
    const last = Math.max(places.at(-1)?.tick ?? 0, jump?.ticks.at(-1) ?? 0, vamp?.until ?? 0);
    return last - first <= mostAhead;
  }),
);

/** How the song is set up for all. */
export type SharedSetup = Readonly<v.InferOutput<typeof sharedSetup>>;
/** A place of the form. */
export type FormPlace = Readonly<v.InferOutput<typeof formPlace>>;
/** Where the music is. */
export type Now = Readonly<v.InferOutput<typeof nowBody>>;
