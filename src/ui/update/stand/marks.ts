import { handMoment, passView } from '../../../playback/pass-view.js';
import type { Performance } from '../../../playback/performance.js';
import { withPerformance } from '../../../playback/session.js';
import { changeNames } from '../../../shed/change-id.js';
import type { PassResult } from '../../../shed/ladder.js';
import type { Model } from '../../state/model.js';
import type { PassRecord, StandMode } from '../../state/modes.js';
import { fileOf } from '../../state/select.js';
import { inTurn, type ModeEvent, noticed, type Step, step, withStand } from '../step.js';
import { passRecord, wholePass } from './pass-record.js';
import { flushPending, heardPass, openPass, withPending } from './pending.js';

/** What a mode that keeps passes for the diary hears of them: one begins, is half over, is over, was heard. */
export function passHeard(model: Model, mode: StandMode, event: ModeEvent): Step {
  switch (event.kind) {
    case 'play-sent': {
      const begun: Model = { ...model, mode: withStand(mode, { mark: null }) };
      // The ear's verdict on the previous pass is shown as long as it can be overruled.
      return mode.stand.pending?.heard ? step(begun) : noticed(begun, '');
    }
    case 'pass-ended':
      return passEnded(model, mode, event.began, event.at);
    case 'pass-half-over':
      // Where the ear's word is waited for, or can be overruled, that has its own time.
      return mode.stand.pending?.until == null ? flushPending(model, mode) : step(model);
    case 'pass-heard':
      return passJudged(model, mode, event);
    default:
      return step(model);
  }
}

/** A pass is over: what was said of it is kept, or can still be said for a while. */
function passEnded(model: Model, mode: StandMode, began: number | null, at: number): Step {
  const { performance } = model.session;
  const record = performance && wholePass(mode, performance, began, at);
  const { mark } = mode.stand;
  const pending = record && began !== null ? openPass(model, record, { began, said: mark, at }) : null;
  return inTurn(flushPending(model, mode), (now) =>
    withPending(now, withStand(mode, { mark: null }), pending),
  );
}

/** The last pass of a take has come to its end by itself. */
export function lastPassEnded(model: Model, mode: StandMode, at: number): Step {
  const began = model.session.performance?.passBegan ?? null;
  if (began === null) return step(model);
  return inTurn(passEnded(model, mode, began, at), (now) =>
    step({ ...now, session: withPerformance(now.session, { passBegan: null }) }),
  );
}

/** A pass was heard: what it was is kept with it; what the player has said of it stays. */
function passJudged(
  model: Model,
  mode: StandMode,
  { began, verdict, at }: Extract<ModeEvent, { readonly kind: 'pass-heard' }>,
): Step {
  const { pending } = mode.stand;
  if (!pending || began === null || pending.began !== began) return step(model);
  return withPending(model, mode, heardPass(mode, pending, verdict, at));
}

/** The player says how a pass was: the one before, where that is still open; else this one. */
export function markPass(model: Model, mode: StandMode, result: PassResult): Step {
  const says = result === 'clean' ? 'clean' : 'missed';
  const { pending } = mode.stand;
  if (pending && pending.said === null)
    return withPending({ ...model, notice: `the pass before was ${says}` }, mode, {
      ...pending,
      said: result,
    });
  if (model.session.link.state !== 'running') return step(model);
  return noticed({ ...model, mode: withStand(mode, { mark: result }) }, `this pass: ${says}`);
}

/** The place under the cursor for the diary, to be looked at later. `null` where nothing is arranged. */
export function placeRecord(model: Model, mode: StandMode, set: string | null): PassRecord | null {
  const { performance } = model.session;
  if (!performance) return null;
  const { bar, beat } = performance.cursor;
  return recordAt(performance, { bar, beat: beat ?? 0, file: fileOf(mode), set });
}

/** A place of what is played for the diary, bar and beat from 0. `null` where there is no such place. */
export function recordAt(
  performance: Performance,
  { bar, beat, file, set }: { bar: number; beat: number; file: string; set: string | null },
): PassRecord | null {
  const view = passView(performance);
  if (!view?.bars[bar]) return null;
  const { setup } = performance;
  const { now, next } = handMoment(view, bar, beat, setup.range);
  const around = [now, next?.change].flatMap((change) => (change ? [change] : []));
  return { ...passRecord(setup, file, changeNames(around), 0), what: 'later', set, bar: bar + 1 };
}
