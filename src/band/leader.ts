import type { Session } from '../playback/session.js';
import type { Setup } from '../playback/setup.js';
import { keyName } from '../theory/key.js';
import type { Conductor } from '../time/conductor.js';
import { type Span, tickAt, timeAt } from '../time/segment.js';
import { ticksPerQuarter } from '../time/units.js';
import { stillMs } from './follower.js';
import { formOf } from './form.js';
import { mostAhead, mostPlaces, mostSpans, type Now, type SharedSetup, timeRuns } from './now.js';
import { sameForm } from './same-form.js';
import { apart, leastMs } from './steer.js';
import { carriedOn } from './tempo-steps.js';

/** The take that a leader leads: its name, and how far its player's ticks are ahead of the band's. */
export interface LedTake {
  readonly take: string;
  readonly shift: number;
}

/** What was sent last: the message, and the conductor and spans that were played then. */
export interface Told {
  readonly body: Now;
  readonly conductor: Conductor | null;
  readonly spans: readonly Span[];
  readonly at: number;
}

/** A change is sent this long after the last one at the soonest, ms: a key that is held down is many. */
const leastBetweenMs = 15;
/** Without a change the state is sent after this many beats, within these limits in ms. */
const beatsBetween = 30;
const leastQuietMs = 5000;
const mostQuietMs = 30_000;
/** Spans are sent from this long ago on, ms: a stand that hears of them later still finds the one that holds. */
const backMs = 1000;
/** By how much an external clock must differ from what was sent, ms, for its time to be sent again. */
const leastFollowedMs = 3;
/** How far ahead to check whether time runs as was sent. */
const lookTicks = 32 * ticksPerQuarter;

/** What all have in common of a setup. */
export function sharedSetupOf(setup: Setup): SharedSetup {
  const { key, bpm, passes, countIn, range, pattern, bass, ramp, holds } = setup;
  return {
    key: keyName(key),
    bpm,
    passes,
    countIn,
    range: range && { from: range.from, to: range.to },
    pattern: pattern?.name ?? null,
    bass: bass ?? null,
    ramp: ramp ? { to: ramp.to, bars: ramp.bars } : null,
    holds: holds ?? false,
  };
}

/** Where the music is, for all; `null` while that is not known: it has just been started. */
export function nowOf(
  session: Session,
  song: string | null,
  { take, shift }: LedTake,
  at: number,
): Now | null {
  const { performance, link } = session;
  const tuning = performance?.tuning ?? false;
  const state = tuning ? 'stopped' : link.state;
  if (!performance || song === null) return null;
  const { setup, cursor, jump, vamp } = performance;
  const base = { song, take, setup: sharedSetupOf(setup), cursor: { bar: cursor.bar, pass: cursor.pass } };
  if (state !== 'running') return { ...base, state, spans: [], places: [], jump: null, vamp: null };
  if (link.spans.length === 0 || !performance.conductor) return null;
  const tick = tickAt(link.spans, at);
  const places = formOf(performance, waits(link.spans, at) ? Math.floor(tick) : tick).map((one) => ({
    ...one,
    tick: one.tick - shift,
  }));
  const ticks = (jump?.ticks ?? [])
    .filter((one) => one > tick && one - tick < mostAhead)
    .map((one) => one - shift);
  const spans = spansToTell(link.spans, at).map((one) => ({ ...one, tick: one.tick - shift }));
  // Time that was bent where it stands still is about to be put right.
  return places.length === 0 || !timeRuns(spans)
    ? null
    : {
        ...base,
        state,
        spans,
        places,
        jump:
          jump && ticks.length > 0
            ? {
                kind: jump.kind,
                ticks: ticks.slice(0, mostPlaces),
                bar: jump.bar,
                pass: jump.pass,
                passes: jump.kind === 'ending' ? jump.passes : null,
              }
            : null,
        vamp: vamp && {
          ...vamp,
          from: vamp.from - shift,
          until: vamp.until === null ? null : vamp.until - shift,
        },
      };
}

/** Whether time stands still: then the tick that waits is where the music is, and the one after it is not reached. */
function waits(spans: readonly Span[], at: number): boolean {
  return (spans.findLast((one) => one.time <= at)?.msPerTick ?? 0) > stillMs;
}

/** The spans that hold from a little while ago on, and where time stands still now, the tempo before it. */
function spansToTell(spans: readonly Span[], at: number): readonly Span[] {
  const first = spans.findLastIndex((one) => one.time <= at - backMs);
  const tempo = spans.findLastIndex(
    (one, index) => index <= Math.max(0, first) && one.msPerTick < 1e6 && one.msPerTick > 1e-6,
  );
  return spans.slice(Math.max(0, tempo >= 0 ? tempo : first)).slice(0, mostSpans);
}

/** Whether the present state differs from what all must conclude from what they were told. */
export function differs(told: Told, session: Session, body: Now, at: number): boolean {
  const { spans: _, places: __, cursor, ...rest } = body;
  const { spans: ___, places: ____, cursor: before, ...toldRest } = told.body;
  // Jumps that were passed need not be told of.
  const passed = { ...toldRest, jump: jumpLeft(toldRest.jump, rest.jump) };
  if (JSON.stringify(rest) !== JSON.stringify(passed)) return true;
  if (body.state !== 'running') return cursor.bar !== before.bar || cursor.pass !== before.pass;
  const { performance, link } = session;
  const conductor = performance?.conductor;
  if (!conductor || !told.conductor) return true;
  const tick = tickAt(link.spans, at);
  if (conductor !== told.conductor && !sameForm(told.conductor, conductor, Math.ceil(tick))) return true;
  if (link.spans === told.spans) return false;
  const to = tick + lookTicks;
  const [now, then] = [carriedOn(link.spans, conductor, to), carriedOn(told.spans, conductor, to)];
  // An external clock is never quite the same: it is sent where the difference begins to be heard.
  const least = link.following.label === null ? leastMs : leastFollowedMs;
  return apart(now, then, tick, to, timeAt(now, tick) + 1e6) > least;
}

/** Nothing differs from what was told: what has been sent ahead since then is known too. */
export function stillTold(told: Told, { performance }: Session): Told {
  return { ...told, conductor: performance?.conductor ?? null };
}

function jumpLeft(told: Now['jump'], now: Now['jump']): Now['jump'] {
  if (!told) return told;
  const ticks = told.ticks.filter((one) => now?.ticks.includes(one));
  return ticks.length === 0 ? null : { ...told, ticks };
}

/** When it is sent again at the latest, ms, where nothing changes. */
export function quietUntil(told: Told, beatMs: number | null): number {
  return told.at + Math.min(mostQuietMs, Math.max(leastQuietMs, beatsBetween * (beatMs ?? mostQuietMs)));
}

/** When a change can be told at the soonest, ms. */
export function soonest(told: Told | null): number {
  return told ? told.at + leastBetweenMs : Number.NEGATIVE_INFINITY;
}
