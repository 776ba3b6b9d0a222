import {
  barEnd,
  type Conductor,
  feed,
  positionAt,
  retake,
  retakeAt,
  sentTo,
  type TakePlace,
} from '../../time/conductor.js';
import type { Segment } from '../../time/segment.js';
import type { Effect, Held, Model, Stand, Turn, Updated } from '../model.js';
import { type PassView, passViewAt, sectionStarts, ticksOfBars } from '../pass-view.js';
import { conducted, reachTick, retaken, songTake, takeOf } from './arranging.js';
import { joined } from './joined.js';

/** The section that sounds at a transport tick: its bars, half open, the pass it is in, and the tick at which it ends. */
interface SectionAhead {
  readonly view: PassView;
  readonly pass: number;
  readonly from: number;
  readonly to: number;
  readonly end: number;
}

function sectionAt(stand: Stand, conductor: Conductor, tick: number): SectionAhead | null {
  const position = positionAt(conductor, tick);
  const pass = stand.held?.pass ?? position.pass;
  const view = passViewAt(stand, pass);
  if (!view || position.phase === 'end') return null;
  const starts = sectionStarts(view);
  const from = starts.findLast((start) => start <= position.bar) ?? 0;
  const to = starts.find((start) => start > position.bar) ?? view.bars.length;
  const counted = conductor.sent.find(
    ({ phase, startTick }) => phase === 'bar' && startTick > tick,
  )?.startTick;
  const end =
    position.phase === 'count-in'
      ? (counted ?? tick) + ticksOfBars(view, position.bar, to)
      : barEnd(conductor, tick) + ticksOfBars(view, position.bar + 1, to);
  return { view, pass, from, to, end };
}

/** Once more through the section that is played, when it ends; said again, twice more. */
export function extend(model: Model, stand: Stand, at: number): Updated {
  if (!isMoving(model, stand)) return { model, effects: [] };
  if (stand.held) return letGoFirst(model);
  const kept = stand.turn?.kind === 'ending' ? { ...stand, passes: stand.turn.passes, turn: null } : stand;
  const tick = reachTick(model, at);
  const section = sectionAt(kept, stand.conductor as Conductor, tick);
  if (!section) return { model, effects: [] };
  const pending = kept.turn?.kind === 'again' ? kept.turn.ticks.filter((one) => one > tick).length : 0;
  const length = ticksOfBars(section.view, section.from, section.to);
  const ticks = Array.from({ length: pending + 1 }, (_, index) => section.end + index * length);
  const turn: Turn = { kind: 'again', ticks, bar: section.from, pass: section.pass };
  const told = `${nameOf(section)} once more${ticks.length > 1 ? `, ${ticks.length} times` : ''}`;
  return withTurn({ ...model, notice: told, stand: { ...kept, turn } }, at);
}

/** To the ending, when the section that is played is over; said again, as written. */
export function cutToEnding(model: Model, stand: Stand, at: number): Updated {
  if (!isMoving(model, stand)) return { model, effects: [] };
  if (stand.held) return letGoFirst(model);
  if (stand.turn?.kind === 'ending') {
    const back: Stand = { ...stand, passes: stand.turn.passes, turn: null };
    return naturally({ ...model, notice: 'on as written', stand: back }, at);
  }
  const tick = reachTick(model, at);
  const section = sectionAt(stand, stand.conductor as Conductor, tick);
  if (!section) return { model, effects: [] };
  const isFinal = stand.passes !== null && section.pass >= stand.passes;
  const last = sectionStarts(section.view).at(-1) ?? 0;
  if (section.from >= last) {
    // This is the last section: nothing but further passes can be cut.
    const passes = section.pass;
    const ends: Stand = { ...stand, turn: null, passes };
    return naturally({ ...model, notice: 'it ends with this section', stand: ends }, at);
  }
  const pass = isFinal ? section.pass : section.pass + 1;
  const passes = stand.passes;
  const ending: Stand = { ...stand, passes: pass };
  const view = passViewAt(ending, pass) ?? section.view;
  const bar = sectionStarts(view).at(-1) ?? 0;
  const turn: Turn = { kind: 'ending', ticks: [section.end], bar, pass, passes };
  const name = view.bars[bar]?.section ?? '';
  return withTurn(
    { ...model, notice: `after this section the ending: ${name}`, stand: { ...ending, turn } },
    at,
  );
}

/** One more pass through all of it. */
export function oneMorePass(model: Model, stand: Stand, at: number): Updated {
  if (stand.passes === null) return { model: { ...model, notice: 'it goes on without end' }, effects: [] };
  const turn = stand.turn?.kind === 'ending' ? null : stand.turn;
  const passes = (stand.turn?.kind === 'ending' ? (stand.turn.passes ?? stand.passes) : stand.passes) + 1;
  const notice = `one more pass: ${passes} in all`;
  return retaken({ ...model, notice, stand: { ...stand, passes, turn } }, at);
}

/** Everybody waits on the chord that sounds; said again, the music goes on behind it. */
export function vamp(model: Model, stand: Stand, at: number): Updated {
  if (!isMoving(model, stand)) return { model, effects: [] };
  if (stand.held)
    return stand.held.until === null ? release(model, stand, stand.held, at) : { model, effects: [] };
  const conductor = stand.conductor as Conductor;
  const tick = reachTick(model, at);
  const position = positionAt(conductor, tick);
  const view = passViewAt(stand, position.pass);
  const bar = view?.bars[position.bar];
  const placed = view?.score.bars[position.bar];
  if (position.phase !== 'bar' || !view || !bar || !placed)
    return { model: { ...model, notice: 'hold a chord once the music runs' }, effects: [] };
  const into = placed.length - (barEnd(conductor, tick) - tick);
  const ticksOf = (beat: number): number => Math.round((beat * placed.length) / bar.beats);
  const cell = Math.max(
    0,
    bar.cells.findLastIndex((one) => ticksOf(one.at) <= into),
  );
  const end = ticksOf(bar.cells[cell + 1]?.at ?? bar.beats);
  const from = tick - into + end;
  const held: Held = {
    bar: position.bar,
    cell,
    pass: position.pass,
    from,
    into: end % placed.length,
    until: null,
  };
  const next: Stand = { ...stand, held, turn: null };
  const passes = stand.turn?.kind === 'ending' ? stand.turn.passes : stand.passes;
  const place = { pass: held.pass, bar: held.bar, into: held.into };
  const vamped: Stand = { ...next, passes };
  return sent({ ...model, notice: '', stand: vamped }, conductor, [from], place, at);
}

/** While everybody waits there is no section that ends. */
function letGoFirst(model: Model): Updated {
  return { model: { ...model, notice: 'let the chord go first' }, effects: [] };
}

/** The music goes on behind the chord that was held, at the next place where that chord ends. */
function release(model: Model, stand: Stand, held: Held, at: number): Updated {
  const conductor = stand.conductor as Conductor;
  const view = passViewAt(stand, held.pass);
  const length = view?.score.bars[held.bar]?.length ?? 0;
  if (!view || length === 0) return { model, effects: [] };
  const rounds = Math.max(0, Math.ceil((reachTick(model, at) - held.from) / length));
  const until = held.from + rounds * length;
  const left: Stand = { ...stand, held: { ...held, until } };
  return sent({ ...model, notice: '', stand: left }, conductor, [until], behind(left, view, held), at);
}

/** Where the music goes on behind a held chord. At the very end the last bar is played once more, as it is written. */
function behind({ passes }: Stand, view: PassView, held: Held): TakePlace {
  if (held.into > 0) return { pass: held.pass, bar: held.bar, into: held.into };
  if (held.bar + 1 < view.bars.length) return { pass: held.pass, bar: held.bar + 1, into: 0 };
  if (passes !== null && held.pass >= passes) return { pass: held.pass, bar: held.bar, into: 0 };
  return { pass: held.pass + 1, bar: 0, into: 0 };
}

/** After the music was retaken from a tick on: what was wished for is put into it again. */
export function turnedAgain(updated: Updated, at: number): Updated {
  const { model } = updated;
  const { stand } = model;
  if (!stand?.conductor) return updated;
  const { turn, held } = stand;
  if (held && held.until !== null) {
    const view = passViewAt(stand, held.pass);
    if (!view) return updated;
    return joined(updated, sent(model, stand.conductor, [held.until], behind(stand, view, held), at));
  }
  return turn ? joined(updated, withTurn(model, at)) : updated;
}

/** What was wished for is over when its tick has passed. */
export function turnsPassed(stand: Stand, tick: number): Stand {
  const turn = stand.turn && tick >= (stand.turn.ticks.at(-1) ?? 0) ? null : stand.turn;
  const held = stand.held && stand.held.until !== null && tick >= stand.held.until ? null : stand.held;
  return turn === stand.turn && held === stand.held ? stand : { ...stand, turn, held };
}

function isMoving({ player }: Model, stand: Stand): boolean {
  return (
    player.state === 'running' && stand.conductor !== null && stand.arrangement !== null && !stand.tuning
  );
}

function nameOf({ view, from }: SectionAhead): string {
  return view.bars[from]?.section ?? '';
}

/** The wish that stands is put into what is sent. */
function withTurn(model: Model, at: number): Updated {
  const { stand } = model;
  const { turn, conductor } = stand ?? {};
  if (!stand || !turn || !conductor) return { model, effects: [] };
  const ticks = turn.ticks.filter((tick) => tick >= reachTick(model, at));
  if (ticks.length === 0) return { model, effects: [] };
  return sent(model, conductor, ticks, { pass: turn.pass, bar: turn.bar, into: 0 }, at);
}

/** At each of these ticks the music goes to a place; up to there it is as it was. */
function sent(
  model: Model,
  conductor: Conductor,
  ticks: readonly number[],
  place: TakePlace,
  at: number,
): Updated {
  const { stand } = model;
  if (!stand?.arrangement) return { model, effects: [] };
  const take = takeWanted(stand);
  const effects: Effect[] = [];
  let current = conductor;
  for (const tick of ticks) {
    const reached = sentTo(current, tick);
    effects.push(...appended(reached.segments));
    const turned = retakeAt(reached.conductor, take, tick, place);
    effects.push({ kind: 'replace', tick, segments: turned.segments });
    current = turned.conductor;
  }
  const fed = feed(current, Math.max(0, reachTick(model, at)));
  return {
    model: { ...model, stand: { ...stand, conductor: fed.conductor } },
    effects: [...effects, ...appended(fed.segments)],
  };
}

function appended(segments: readonly Segment[]): Effect[] {
  return segments.length > 0 ? [{ kind: 'append', segments }] : [];
}

/** While a chord is held, the pass in which its bar has it alone; else the song. */
function takeWanted(stand: Stand) {
  const { arrangement, held } = stand;
  if (!arrangement) throw new Error('nothing is arranged');
  return held && held.until === null ? takeOf(stand, arrangement) : songTake(stand, arrangement);
}

/** The music goes on from its place as it is written. */
function naturally(model: Model, at: number): Updated {
  const { stand } = model;
  if (!stand?.conductor || !stand.arrangement) return { model, effects: [] };
  const tick = reachTick(model, at);
  return conducted(model, retake(stand.conductor, songTake(stand, stand.arrangement), tick), tick);
}
