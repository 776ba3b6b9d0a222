import type { HeldStroke } from '../../listen/live/held-chord.js';
import type { NamedChord } from '../../listen/live/named-chord.js';
import type { Verdict } from '../../listen/verdict.js';
import type { PlaybackEvent, Played } from '../../playback/session.js';
import type { Effect } from '../state/messages.js';
import type { Model, Updated } from '../state/model.js';
import type { Stand, StandMode } from '../state/modes.js';

/** What happened in the session and is still to be taken in by the mode. */
export type ModeEvent =
  | Exclude<PlaybackEvent, { readonly kind: 'notice' }>
  /** A pass was heard by the ear, some time after it was over. `began`: when it did, where it was a whole one. */
  | {
      readonly kind: 'pass-heard';
      readonly began: number | null;
      readonly verdict: Verdict;
      readonly at: number;
    }
  /** A stroke was heard while one bar repeats. */
  | (HeldStroke & { readonly at: number })
  /** A chord was named by playing it; `at`: when it sounded. */
  | NamedChord;

/** A step of the program: the next model, what to do, and what happened on the way. */
export interface Step extends Updated {
  readonly events: readonly ModeEvent[];
}

/** The model as it is; with effects, if any. */
export function step(model: Model, ...effects: readonly Effect[]): Step {
  return { model, effects, events: [] };
}

/** The model with a line to be read. */
export function noticed(model: Model, notice: string): Step {
  return step({ ...model, notice });
}

/** The model with a fault to be read. */
export function faulted(model: Model, notice: string): Step {
  return step({ ...model, notice, wrong: notice });
}

/** The session has gone on: its commands are effects, its notices are read, its other events are for the mode. */
export function played(model: Model, { session, commands, events }: Played): Step {
  const told = events.findLast((event) => event.kind === 'notice');
  const notice = told?.text ?? model.notice;
  const wrong = told?.isFault ? told.text : model.wrong;
  const isSame = session === model.session && notice === model.notice;
  return {
    // What did not change is not drawn again.
    model: isSame ? model : { ...model, session, notice, wrong },
    effects: commands,
    events: events.filter((event) => event.kind !== 'notice'),
  };
}

/** One step after another: the model of the last, effects and events of all in order. */
export function inTurn(first: Step, ...steps: readonly ((model: Model) => Step)[]): Step {
  return steps.reduce((before, next) => {
    const after = next(before.model);
    return {
      model: after.model,
      effects: [...before.effects, ...after.effects],
      events: [...before.events, ...after.events],
    };
  }, first);
}

/** A mode with something of its stand changed. */
export function withStand<M extends StandMode>(mode: M, changes: Partial<Stand>): M {
  return { ...mode, stand: { ...mode.stand, ...changes } };
}
