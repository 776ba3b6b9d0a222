import { countedQuarters } from '../../chart/chart.js';
import type { Arrangement } from '../../time/arrange.js';
import { barEnd, begin, feed, positionAt, retake } from '../../time/conductor.js';
import { type Span, tickAt } from '../../time/segment.js';
import { programMessages } from '../../time/sound.js';
import { millisecondsPerTick } from '../../time/units.js';
import type { Cursor, Effect, Model, Stand, Updated } from '../model.js';
import { passView, sectionStarts } from '../pass-view.js';
import { conducted, isReady, reachTick, retaken, songTake, takeOf } from './arranging.js';
import { playedOn } from './rest.js';
import { flushPending, passOver } from './shed.js';
import { turnsPassed } from './turns.js';

/** Begins to play when that was asked for before all was ready, and now is. */
export function playIfEager(model: Model): Updated {
  const { stand } = model;
  if (!stand?.eager || !stand.arrangement || !isReady(model) || model.player.state === 'running')
    return { model, effects: [] };
  return play(model, stand, stand.arrangement);
}

/** Space: plays, or pauses what plays. */
export function playOrPause(model: Model, stand: Stand): Updated {
  if (model.player.state === 'running')
    return { model, effects: [{ kind: 'tell', message: { kind: 'pause' } }] };
  if (model.player.following.label !== null)
    return { model: { ...model, notice: 'the outside clock starts and stops the music' }, effects: [] };
  if (!stand.arrangement || !isReady(model))
    return { model: { ...model, stand: { ...stand, eager: !stand.eager } }, effects: [] };
  return play(model, stand, stand.arrangement);
}

function play(model: Model, stand: Stand, arrangement: Arrangement): Updated {
  const tick = model.player.freeTick;
  // Passes that are counted go on after a pause.
  const resumes = model.player.state === 'paused' && stand.begun && stand.passes !== null && !stand.ladder;
  const pass = resumes ? stand.cursor.pass : 1;
  const { conductor, segments } = begin(songTake(stand, arrangement), stand.cursor.bar, tick, pass);
  const cursor: Cursor = { ...stand.cursor, pass, beat: null, counting: stand.countIn > 0 };
  const next: Stand = {
    ...stand,
    conductor,
    turn: null,
    held: null,
    cursor,
    eager: false,
    tuning: false,
    begun: true,
    mark: null,
    passBegan: null,
  };
  const keep: readonly Effect[] =
    stand.taking === null && stand.file !== ''
      ? [{ kind: 'keep', file: stand.file, choices: {}, played: true }]
      : [];
  return {
    // In a set a notice may be the answer to a key that was pressed while all was made ready.
    model: { ...model, notice: model.set ? model.notice : '', stand: next },
    effects: [
      { kind: 'tell', message: { kind: 'send', messages: programMessages(stand.sound) } },
      { kind: 'replace', tick, segments },
      { kind: 'tell', message: { kind: 'play', tick } },
      ...keep,
    ],
  };
}

/** Goes to a bar, within the loop if there is one; music that runs goes on from there. */
export function goTo(model: Model, stand: Stand, bar: number, at: number): Updated {
  const view = passView(stand);
  if (!view) return { model, effects: [] };
  const first = stand.range?.from ?? 0;
  const last = (stand.range?.to ?? view.bars.length) - 1;
  const target = Math.max(first, Math.min(last, bar));
  const cursor: Cursor = { ...stand.cursor, bar: target, beat: null };
  // A pass that was leafed through is no pass for the diary.
  return retaken({ ...model, stand: { ...stand, cursor, passBegan: null } }, at, target);
}

/** The bar that a leafing key leads to. */
export function leafed(stand: Stand, way: 'back' | 'on' | 'end'): number {
  const view = passView(stand);
  if (!view) return 0;
  const starts = sectionStarts(view);
  const { bar } = stand.cursor;
  // Within the first bar of a section, back means the section before: the way a player leafs.
  if (way === 'back') return starts.findLast((start) => start < bar) ?? 0;
  if (way === 'on') return starts.find((start) => start > bar) ?? bar;
  return starts.at(-1) ?? 0;
}

/** Sets the loop's beginning or end to the bar under the cursor, or takes the loop away. */
export function setLoop(model: Model, stand: Stand, mark: 'from' | 'to' | 'off', at: number): Updated {
  const view = passView(stand);
  if (!view) return { model, effects: [] };
  const range = loopWith(stand, mark, view.bars.length, sectionStarts(view));
  const notice =
    range === null ? 'no loop' : `loop: bars ${range.from + 1} to ${range.to}; ${loopHint(stand, mark)}`;
  return retaken({ ...model, notice, stand: { ...stand, range } }, at);
}

function loopHint(stand: Stand, mark: 'from' | 'to' | 'off'): string {
  return mark === 'from' && stand.range === null ? 'z ends it at a bar' : 'x takes it away';
}

function loopWith(
  { range, cursor }: Stand,
  mark: 'from' | 'to' | 'off',
  bars: number,
  starts: readonly number[],
): Stand['range'] {
  if (mark === 'off') return null;
  const { bar } = cursor;
  if (mark === 'from') return { from: bar, to: range && range.to > bar ? range.to : bars };
  // An end before the beginning loops the section it stands in up to there.
  const from = range && range.from <= bar ? range.from : (starts.findLast((start) => start <= bar) ?? 0);
  return { from, to: bar + 1 };
}

/** The pass that is played becomes the last one, with the bars that only a last pass has; or there is no last one again. */
export function setLastPass(model: Model, stand: Stand, at: number): Updated {
  const passes = stand.passes === null ? stand.cursor.pass : null;
  const notice = passes === null ? 'it goes on without end' : 'it ends with this pass';
  return retaken({ ...model, notice, stand: { ...stand, passes } }, at);
}

/** Count-in of one bar, of two, of none. */
export function nextCountIn(model: Model, stand: Stand): Updated {
  const countIn = (stand.countIn + 1) % 3;
  const words = ['no count-in', 'a bar of count-in', 'two bars of count-in'];
  return { model: { ...model, notice: words[countIn] as string, stand: { ...stand, countIn } }, effects: [] };
}

/** Time has gone on: the cursor follows, and what must be ready soon is sent. */
export function clock(model: Model, at: number): Updated {
  const { stand, player } = model;
  if (!stand?.conductor || player.state !== 'running' || player.spans.length === 0)
    return { model, effects: [] };
  const tick = tickAt(player.spans, at);
  const fed = feed(stand.conductor, Math.max(0, tick));
  const cursor = cursorAt(stand, fed.conductor, tick, player.spans);
  const effects: Effect[] = fed.segments.length > 0 ? [{ kind: 'append', segments: fed.segments }] : [];
  const moved = cursor !== stand.cursor && cursor.beat !== stand.cursor.beat;
  const sight = moved && stand.sight.peek > 0 ? { ...stand.sight, peek: stand.sight.peek - 1 } : stand.sight;
  const on = turnsPassed(stand, tick);
  const next: Model = { ...model, at, stand: { ...on, conductor: fed.conductor, cursor, sight } };
  const passed = passesNoted(playedOn(next, at), stand.cursor, at);
  return { model: passed.model, effects: [...effects, ...passed.effects] };
}

/** Notes when a whole pass begins, and when one is over. */
function passesNoted(model: Model, before: Cursor, at: number): Updated {
  const { stand } = model;
  if (!stand || stand.cursor.counting || stand.cursor.beat === null) return { model, effects: [] };
  const { bar, pass } = stand.cursor;
  if (pass > before.pass && before.beat !== null && !before.counting) return passOver(model, at);
  const begins = before.counting || before.beat === null;
  if (begins && bar === (stand.range?.from ?? 0) && stand.passBegan === null)
    return { model: { ...model, stand: { ...stand, passBegan: at } }, effects: [] };
  // Half a pass later nothing more is said of the one before.
  const view = passView(stand);
  const length = (stand.range?.to ?? view?.bars.length ?? 0) - (stand.range?.from ?? 0);
  return stand.pending && bar - (stand.range?.from ?? 0) >= length / 2
    ? flushPending(model)
    : { model, effects: [] };
}

/** The chord that waits gives way to the next, or the one before, with the next bar. */
export function moveOn(model: Model, stand: Stand, way: 1 | -1, at: number): Updated {
  const view = passView(stand);
  if (!view) return { model, effects: [] };
  const count = view.bars.length;
  const bar = (stand.cursor.bar + way + count) % count;
  const next: Stand = { ...stand, range: { from: bar, to: bar + 1 } };
  if (model.player.state !== 'running' || !stand.conductor || !stand.arrangement)
    return { model: { ...model, stand: { ...next, cursor: { ...stand.cursor, bar } } }, effects: [] };
  const tick = barEnd(stand.conductor, reachTick(model, at));
  const changed: Model = { ...model, stand: next };
  return conducted(changed, retake(stand.conductor, takeOf(next, stand.arrangement), tick, bar), tick);
}

function cursorAt(
  stand: Stand,
  conductor: NonNullable<Stand['conductor']>,
  tick: number,
  spans: readonly Span[],
): Cursor {
  const position = positionAt(conductor, tick);
  if (position.phase === 'end') return stand.cursor;
  const next: Cursor = {
    bar: position.bar,
    beat: position.beat,
    pass: stand.held?.pass ?? position.pass,
    counting: position.phase === 'count-in',
    bpm: soundingTempo(stand, tick, spans),
  };
  const { cursor } = stand;
  return cursor.bar === next.bar &&
    cursor.beat === next.beat &&
    cursor.pass === next.pass &&
    cursor.counting === next.counting &&
    cursor.bpm === next.bpm
    ? cursor
    : next;
}

/** The tempo that sounds at a tick, to a tenth, as the chart counts. */
function soundingTempo({ chart }: Stand, tick: number, spans: readonly Span[]): number | null {
  const span = spans.findLast((one) => one.tick <= tick) ?? spans[0];
  if (!span) return null;
  const quarters = millisecondsPerTick(1) / span.msPerTick;
  const counted = countedQuarters[chart.tempo.count];
  return Math.round((10 * quarters) / counted) / 10;
}
