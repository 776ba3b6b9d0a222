import { countedQuarters } from '../chart/chart.js';
import { barEnd, begin, type Conductor, feed, positionAt, retake } from '../time/conductor.js';
import { type Span, tickAt } from '../time/segment.js';
import { programMessages } from '../time/sound.js';
import { millisecondsPerTick } from '../time/units.js';
import { jumpsPassed, withoutEnding } from './jumps.js';
import { passView, sectionStarts } from './pass-view.js';
import type { Cursor, Performance } from './performance.js';
import { retaken } from './retake.js';
import { appending, conducted, reachTick, sendJumps, takeNow } from './send.js';
import {
  inTurn,
  noticed,
  type PlaybackEvent,
  type Played,
  pause,
  type Session,
  unmoved,
  withPerformance,
  withSetup,
} from './session.js';
import { type BarRange, takeOf } from './setup.js';

/** Whether play would begin at once: the hand is planned and there is an output. */
export function isReady({ link, performance }: Session): boolean {
  return (
    performance?.arrangement != null && performance.arranged === performance.wanted && link.output !== null
  );
}

/** Begins to play when that was asked for before all was ready, and now is. */
export function playIfEager(session: Session): Played {
  const { performance, link } = session;
  // An external clock that is followed starts the music by itself.
  return performance?.eager && isReady(session) && link.state !== 'running' && link.following.label === null
    ? play(session, performance)
    : unmoved(session);
}

/** Plays, or pauses what plays. */
export function playOrPause(session: Session): Played {
  const { performance, link } = session;
  if (!performance) return unmoved(session);
  if (link.state === 'running') return pause(session);
  if (link.following.label !== null) return noticed(session, 'the external clock starts and stops the music');
  if (!isReady(session)) return unmoved(withPerformance(session, { eager: !performance.eager }));
  return play(session, performance);
}

/** When the music begins, ms of the shared clock, and after how many bars of count-in; what is over by then is left out. */
export interface Beginning {
  readonly at: number;
  readonly countIn: number;
}

/** Plays from a time on, where all is ready and nothing plays; the tempo may be another than the one that was planned for. */
export function playAt(session: Session, beginning: Beginning): Played {
  const { performance, link } = session;
  if (!performance || link.state === 'running' || link.output === null) return unmoved(session);
  return play(session, performance, beginning);
}

function play(session: Session, performance: Performance, beginning: Beginning | null = null): Played {
  const { arrangement, setup, cursor, begun } = performance;
  if (!arrangement) return unmoved(session);
  const countIn = beginning?.countIn ?? setup.countIn;
  const tick = session.link.freeTick;
  // Passes that are counted go on after a pause.
  const resumes = session.link.state === 'paused' && begun && setup.passes !== null;
  const pass = resumes ? cursor.pass : 1;
  const { conductor, segments } = begin({ ...takeOf(setup, arrangement), countIn }, cursor.bar, tick, pass);
  return {
    session: withPerformance(session, {
      conductor,
      jump: null,
      vamp: null,
      cursor: { ...cursor, pass, beat: null, counting: countIn > 0 },
      eager: false,
      tuning: false,
      begun: true,
      passBegan: null,
    }),
    commands: [
      { kind: 'tell', message: { kind: 'send', messages: programMessages(setup.sound) } },
      { kind: 'replace', tick, segments },
      { kind: 'tell', message: { kind: 'play', tick, ...(beginning ? { at: beginning.at } : {}) } },
    ],
    events: [{ kind: 'play-sent' }],
  };
}

/** Goes to a bar, within the loop if there is one; music that runs goes on from there. */
export function goTo(session: Session, bar: number, at: number): Played {
  const { performance } = session;
  const view = performance && passView(performance);
  if (!view) return unmoved(session);
  const { range } = performance.setup;
  const target = Math.max(range?.from ?? 0, Math.min((range?.to ?? view.bars.length) - 1, bar));
  const cursor: Cursor = { ...performance.cursor, bar: target, beat: null };
  // A pass in which the player went elsewhere does not count as a whole one.
  const there = withPerformance(session, { cursor, passBegan: null });
  return inTurn(unmoved(there), (now) => retaken(now, at, target));
}

/** The bar that a key for moving leads to. */
export function leafed(performance: Performance, way: 'back' | 'on' | 'end'): number {
  const view = passView(performance);
  if (!view) return 0;
  const starts = sectionStarts(view);
  const { bar } = performance.cursor;
  // Within the first bar of a section, back means the section before, as players expect.
  if (way === 'back') return starts.findLast((start) => start < bar) ?? 0;
  if (way === 'on') return starts.find((start) => start > bar) ?? bar;
  return starts.at(-1) ?? 0;
}

/**
 * The loop with its beginning or end at the bar under the cursor, or none. Music that runs goes on within it; a jump that was asked for
 * holds no more, since its ticks were counted along other bars.
 */
export function setLoop(session: Session, mark: 'from' | 'to' | 'off', at: number): Played {
  const { performance } = session;
  const view = performance && passView(performance);
  if (!view) return unmoved(session);
  const range = loopWith(performance, mark, view.bars.length, sectionStarts(view));
  const hint = mark === 'from' && performance.setup.range === null ? 'z ends it at a bar' : 'x removes it';
  const text = range === null ? 'no loop' : `loop: bars ${range.from + 1} to ${range.to}; ${hint}`;
  return inTurn(noticed(looped(session, range), text), (now) => retaken(now, at));
}

/**
 * Another loop, or none, wherever the music is: where that is outside the loop, the bar that sounds is played to its end, and the loop
 * follows.
 */
export function loopTo(session: Session, range: BarRange | null, at: number): Played {
  const { performance, link } = session;
  const set = looped(session, range);
  const { conductor = null } = performance ?? {};
  if (!performance || !conductor || link.state !== 'running' || !range) return retaken(set, at);
  const tick = reachTick(link, at);
  const { phase, bar, pass } = positionAt(conductor, tick);
  if (phase !== 'bar' || (bar >= range.from && bar < range.to)) return retaken(set, at);
  return sendJumps(set, conductor, [barEnd(conductor, tick)], { pass, bar: range.from, into: 0 }, at);
}

function looped(session: Session, range: BarRange | null): Session {
  return withPerformance(withSetup(withoutEnding(session), { range }), { jump: null });
}

/**
 * The loop is these bars, from 0 and half open, and goes round without end; or there is none, and the pass that is played is the last. A
 * jump that was asked for holds no more.
 */
export function setRange(session: Session, range: BarRange | null, at: number): Played {
  const { performance } = session;
  if (!performance) return unmoved(session);
  const { setup, cursor } = performance;
  if (range === null && setup.range === null) return unmoved(session);
  const bar = range && (cursor.bar < range.from || cursor.bar >= range.to) ? range.from : null;
  const passes = range ? null : cursor.pass;
  const looped = withPerformance(withSetup(withoutEnding(session), { range, passes }), { jump: null });
  return bar === null ? retaken(looped, at) : goTo(looped, bar, at);
}

function loopWith(
  { setup: { range }, cursor: { bar } }: Performance,
  mark: 'from' | 'to' | 'off',
  bars: number,
  starts: readonly number[],
) {
  if (mark === 'off') return null;
  if (mark === 'from') return { from: bar, to: range && range.to > bar ? range.to : bars };
  // An end before the beginning loops the section it is in up to there.
  const from = range && range.from <= bar ? range.from : (starts.findLast((start) => start <= bar) ?? 0);
  return { from, to: bar + 1 };
}

/** The pass that is played becomes the last one, with the bars that only a last pass has; or it goes on without end again. */
export function toggleLastPass(session: Session, at: number): Played {
  const { performance } = session;
  if (!performance) return unmoved(session);
  const passes = performance.setup.passes === null ? performance.cursor.pass : null;
  const text = passes === null ? 'it goes on until you stop it' : 'it ends with this pass';
  return inTurn(noticed(withSetup(session, { passes }), text), (now) => retaken(now, at));
}

/** Count-in of one bar, of two, of none. */
export function nextCountIn(session: Session): Played {
  const countIn = ((session.performance?.setup.countIn ?? 0) + 1) % 3;
  const words = ['no count-in', 'a bar of count-in', 'two bars of count-in'] as const;
  return noticed(withSetup(session, { countIn }), words[countIn] as string);
}

/** The chord that waits gives way to the next, or the one before, with the next beat; while the count runs, when that is over. */
export function moveOn(session: Session, way: 1 | -1, at: number): Played {
  const { performance, link } = session;
  const view = performance && passView(performance);
  if (!view) return unmoved(session);
  const count = view.bars.length;
  const bar = (performance.cursor.bar + way + count) % count;
  const moved = withSetup(session, { range: { from: bar, to: bar + 1 } });
  const take = moved.performance && takeNow(moved.performance);
  if (link.state !== 'running' || !performance.conductor || !take)
    return unmoved(withPerformance(moved, { cursor: { ...performance.cursor, bar } }));
  const tick = nextBeatTick(performance.conductor, reachTick(link, at));
  return conducted(moved, retake(performance.conductor, take, tick, bar), tick);
}

/** The first beat at or after a transport tick; while the count runs, the first of the music. */
function nextBeatTick(conductor: Conductor, tick: number): number {
  const { phase, ticksLeft } = positionAt(conductor, tick);
  if (phase === 'bar') return tick + ticksLeft;
  const first = conductor.sent.find((sent) => sent.phase === 'bar' && sent.startTick > tick);
  return first?.startTick ?? barEnd(conductor, tick);
}

/** Time has gone on: the cursor follows, and what must be ready soon is sent. */
export function clock(session: Session, at: number): Played {
  const { performance, link } = session;
  if (!performance?.conductor || link.state !== 'running' || link.spans.length === 0) return unmoved(session);
  const tick = tickAt(link.spans, at);
  const fed = feed(performance.conductor, Math.max(0, tick));
  const cursor = cursorAt(performance, fed.conductor, tick, link.spans);
  const newBeat = cursor !== performance.cursor && cursor.beat !== performance.cursor.beat;
  const moved = { ...jumpsPassed(performance, tick), conductor: fed.conductor, cursor };
  const noted = passesNoted(moved, performance.cursor, at);
  return {
    session: { ...session, performance: noted.performance },
    commands: appending(fed.segments),
    events: [{ kind: 'moved', at, newBeat }, ...noted.events],
  };
}

/** Notes when a whole pass begins, and when one is over. */
function passesNoted(
  performance: Performance,
  before: Cursor,
  at: number,
): { performance: Performance; events: readonly PlaybackEvent[] } {
  const { cursor, passBegan, setup } = performance;
  if (cursor.counting || cursor.beat === null) return { performance, events: [] };
  const first = setup.range?.from ?? 0;
  if (cursor.pass > before.pass && before.beat !== null && !before.counting)
    return {
      performance: { ...performance, passBegan: at },
      events: [{ kind: 'pass-ended', at, began: passBegan }],
    };
  const begins = before.counting || before.beat === null;
  if (begins && cursor.bar === first && passBegan === null)
    return { performance: { ...performance, passBegan: at }, events: [{ kind: 'pass-began', at }] };
  const length = (setup.range?.to ?? passView(performance)?.bars.length ?? 0) - first;
  const half = cursor.bar - first >= length / 2;
  return { performance, events: half ? [{ kind: 'pass-half-over' }] : [] };
}

function cursorAt(
  performance: Performance,
  conductor: Conductor,
  tick: number,
  spans: readonly Span[],
): Cursor {
  const { cursor, vamp } = performance;
  // What is to begin has not begun, though its time is known: its first beat would be shown ahead of its click.
  if (tick < (conductor.sent[0]?.startTick ?? tick)) return cursor;
  const position = positionAt(conductor, tick);
  if (position.phase === 'end') return cursor;
  const next: Cursor = {
    bar: position.bar,
    beat: position.beat,
    pass: vamp?.pass ?? position.pass,
    counting: position.phase === 'count-in',
    bpm: position.waits ? (cursor.bpm ?? null) : soundingTempo(performance, tick, spans),
    ...(position.waits ? { waits: position.waits } : {}),
  };
  const same = (['bar', 'beat', 'pass', 'counting', 'bpm', 'waits'] as const).every(
    (name) => cursor[name] === next[name],
  );
  return same ? cursor : next;
}

/** The tempo that sounds at a tick, to a tenth, as the chart counts. */
function soundingTempo(
  { setup: { chart } }: Performance,
  tick: number,
  spans: readonly Span[],
): number | null {
  const span = spans.findLast((one) => one.tick <= tick) ?? spans[0];
  if (!span) return null;
  const quarters = millisecondsPerTick(1) / span.msPerTick;
  return Math.round((10 * quarters) / countedQuarters[chart.tempo.count]) / 10;
}
