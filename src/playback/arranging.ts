import { familyChange } from '../hand/family-change.js';
import { keyName } from '../theory/key.js';
import type { Arrangement } from '../time/arrange.js';
import { sameTaste } from '../time/lead-line.js';
import { armed } from './follow.js';
import { type Cursor, gearLevelsOf, levelsOf } from './performance.js';
import { retaken } from './retake.js';
import {
  type Command,
  inTurn,
  noticed,
  type Played,
  type Session,
  unmoved,
  withPerformance,
} from './session.js';
import { arrangedAlike, arrangeOptions, tasteOf } from './setup.js';
import { playIfEager } from './transport.js';

/**
 * Asks for whatever the session lacks to be as its setup says: levels, another arrangement, another click; and begins to
 * play when that was asked for before all was ready, and now is. Nothing happens where nothing is lacking.
 */
export function settled(session: Session, at: number): Played {
  return inTurn(levelled(session), arrangementAsked, (now) => takeTaken(now, at), playIfEager);
}

function levelled(session: Session): Played {
  const { performance } = session;
  if (!performance) return unmoved(session);
  const levels = levelsOf(performance);
  const gear = gearLevelsOf(performance);
  if (alike(levels, session.levels) && alike(gear, session.gear)) return unmoved(session);
  const command: Command = { kind: 'levels', levels, ...(alike(gear, levels) ? {} : { gear }) };
  return { session: { ...session, levels, gear }, commands: [command], events: [] };
}

function alike(levels: readonly number[], before: readonly number[] | null): boolean {
  return before !== null && levels.every((level, voice) => level === before[voice]);
}

function arrangementAsked(session: Session): Played {
  const { performance, asked } = session;
  if (!performance) return unmoved(session);
  const { setup, askedWith } = performance;
  if (askedWith && arrangedAlike(askedWith, setup)) return unmoved(session);
  const id = asked + 1;
  const command: Command = { kind: 'arrange', id, chart: setup.chart, options: arrangeOptions(setup) };
  return {
    session: withPerformance({ ...session, asked: id }, { wanted: id, askedWith: setup }),
    commands: [command],
    events: [],
  };
}

/** What is played goes on with another click, or with the tune elsewhere, where that was chosen. */
function takeTaken(session: Session, at: number): Played {
  const { performance } = session;
  const { take } = performance?.conductor ?? {};
  if (!performance || !take) return unmoved(session);
  const click = take.click !== undefined && take.click !== performance.setup.click;
  const tune = take.lead !== undefined && !sameTaste(take.lead, tasteOf(performance.setup));
  return click || tune ? retaken(session, at) : unmoved(session);
}

/** An arrangement has come: while the music runs it goes on with the new one at the same place. `shapes`: its player plays the planned ones. */
export function arranged(
  session: Session,
  id: number,
  arrangement: Arrangement,
  at: number,
  { shapes = true }: { readonly shapes?: boolean } = {},
): Played {
  const { performance, link } = session;
  if (!performance || id !== performance.wanted) return unmoved(session);
  const { setup, cursor } = performance;
  const count = arrangement.bars.length;
  const range = setup.range && setup.range.to > count ? null : setup.range;
  const placed: Cursor = { ...cursor, bar: Math.min(cursor.bar, Math.max(0, count - 1)) };
  const next = withPerformance(session, {
    arrangement,
    arranged: id,
    setup: range === setup.range ? setup : { ...setup, range },
    cursor: placed,
  });
  const notice = keyNotice(performance.arrangement, arrangement, shapes);
  const noted = notice === null ? unmoved(next) : noticed(next, notice);
  if (link.state === 'running') return inTurn(noted, (now) => retaken(now, at));
  return inTurn(noted, (now) =>
    link.following.label === null ? unmoved(now) : armed(now, link.following.song),
  );
}

/** After a change of key: whether the family stays. */
function keyNotice(before: Arrangement | null, now: Arrangement, shapes: boolean): string | null {
  if (!before || keyName(before.key) === keyName(now.key)) return null;
  if (!shapes) return `key ${keyName(now.key)}`;
  return `key ${keyName(now.key)}: ${familyChange(before.family, now.family)}`;
}
