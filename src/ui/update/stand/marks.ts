import { resultOf } from '../../../listen/clean.js';
import { handMoment, passView } from '../../../playback/pass-view.js';
import { withPerformance } from '../../../playback/session.js';
import { changeNames } from '../../../shed/change-id.js';
import type { PassResult } from '../../../shed/ladder.js';
import type { Model } from '../../state/model.js';
import type { PassRecord, StandMode } from '../../state/modes.js';
import { fileOf } from '../../state/select.js';
import { inTurn, type ModeEvent, noticed, type Step, step, withStand } from '../step.js';
import { passRecord, wholePass } from './pass-record.js';

/** What a mode that keeps passes for the diary hears of them: one begins, is half over, is over. */
export function passHeard(model: Model, mode: StandMode, event: ModeEvent): Step {
  switch (event.kind) {
    case 'play-sent':
      return noticed({ ...model, mode: withStand(mode, { mark: null }) }, '');
    case 'pass-ended':
      return passEnded(model, mode, event.began, event.at);
    case 'pass-half-over':
      // Where it listens, its word comes later than that in a short pass.
      return model.ear.on ? step(model) : flushPending(model, mode);
    case 'pass-heard':
      return passJudged(model, mode, event);
    default:
      return step(model);
  }
}

/** A pass is over: what was said of it is kept, or can still be said for a while. */
function passEnded(model: Model, mode: StandMode, began: number | null, at: number): Step {
  const { performance } = model.session;
  const flushed = flushPending(model, mode);
  const record = performance && wholePass(mode, performance, began, at);
  const { mark } = mode.stand;
  const pending = record && began !== null && !mark ? { record, began } : null;
  const next = step({ ...flushed.model, mode: withStand(mode, { mark: null, pending }) });
  const recorded = record && mark ? step(next.model, { kind: 'record', record, result: mark }) : next;
  return { ...recorded, effects: [...flushed.effects, ...recorded.effects] };
}

/** The last pass of a take has come to its end by itself. */
export function lastPassEnded(model: Model, mode: StandMode, at: number): Step {
  const began = model.session.performance?.passBegan ?? null;
  if (began === null) return step(model);
  return inTurn(passEnded(model, mode, began, at), (now) =>
    step({ ...now, session: withPerformance(now.session, { passBegan: null }) }),
  );
}

/** Nobody said anything about the pass before: it is kept as unmarked. */
export function flushPending(model: Model, mode: StandMode): Step {
  const { pending } = mode.stand;
  if (!pending) return step(model);
  return step(
    { ...model, mode: withStand(mode, { pending: null }) },
    { kind: 'record', record: pending.record, result: 'unmarked' },
  );
}

/** A pass was heard: what it was is kept, where the player has not said it. */
function passJudged(
  model: Model,
  mode: StandMode,
  { began, verdict }: Extract<ModeEvent, { readonly kind: 'pass-heard' }>,
): Step {
  const { pending } = mode.stand;
  if (!pending || began === null || pending.began !== began) return step(model);
  return step(
    { ...model, mode: withStand(mode, { pending: null }) },
    { kind: 'record', record: pending.record, result: resultOf(verdict, null) },
  );
}

/** The player says how a pass was: the one before, where that is still open; else this one. */
export function markPass(model: Model, mode: StandMode, result: PassResult): Step {
  const says = result === 'clean' ? 'clean' : 'missed';
  const { pending } = mode.stand;
  if (pending)
    return step(
      { ...model, notice: `the pass before was ${says}`, mode: withStand(mode, { pending: null }) },
      { kind: 'record', record: pending.record, result },
    );
  if (model.session.link.state !== 'running') return step(model);
  return noticed({ ...model, mode: withStand(mode, { mark: result }) }, `this pass: ${says}`);
}

/** The place under the cursor for the diary: something there is to be looked at later. `null` where nothing is arranged. */
export function placeRecord(model: Model, mode: StandMode, set: string | null): PassRecord | null {
  const { performance } = model.session;
  const view = performance && passView(performance);
  if (!performance || !view?.bars[performance.cursor.bar]) return null;
  const { cursor, setup } = performance;
  const { now, next } = handMoment(view, cursor.bar, cursor.beat ?? 0, setup.range);
  const around = [now, next?.change].flatMap((change) => (change ? [change] : []));
  const base = passRecord(setup, fileOf(mode), changeNames(around), 0);
  return { ...base, what: 'later', set, bar: cursor.bar + 1 };
}
