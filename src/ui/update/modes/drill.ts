import { stoodReady } from '../../../playback/performance.js';
import { pause } from '../../../playback/session.js';
import { startOf } from '../../../playback/setup.js';
import type { Drill } from '../../../shed/drill.js';
import type { PassResult } from '../../../shed/ladder.js';
import type { ChartOpened } from '../../state/messages.js';
import type { Model } from '../../state/model.js';
import type { DrillMode } from '../../state/modes.js';
import type { ModeRules } from '../rules.js';
import { dictationAction, dictationHeard, dictationLeft, isNaming } from '../stand/dictation.js';
import { practiceAction, putDrillOn, putNextPhraseOn } from '../stand/drills.js';
import { lastPassEnded, passHeard } from '../stand/marks.js';
import { flushPending, pendingDue } from '../stand/pending.js';
import { toLibrary } from '../stand/put-on.js';
import {
  askHow,
  ladderHeard,
  ladderOver,
  ladderPassOver,
  nextRung,
  notHeard,
  scored,
} from '../stand/rungs.js';
import { heldStroke } from '../stand/waiting.js';
import { inTurn, played, type Step, step, withStand } from '../step.js';

/** A drill, made from a chart or from nothing. */
export const drillRules: ModeRules<DrillMode> = {
  act: (model, mode, action, at) => {
    if (isNaming(mode)) return dictationAction(model, mode, action, at, () => putNextPhraseOn(model, mode));
    return practiceAction(model, mode, action, at, (result) => answered(model, mode, result, 'player'));
  },
  back: (model, mode, at) =>
    isNaming(mode)
      ? inTurn(dictationLeft(model, mode, at), backToChart)
      : inTurn(flushPending(model, mode), backToChart),
  heard: (model, mode, event) => {
    if (isNaming(mode)) return dictationHeard(model, mode, event);
    switch (event.kind) {
      case 'take-ended':
        return takeEnded(model, mode, event.at);
      case 'pass-heard':
        return ladderHeard(model, mode, event, (now, own, result) => answered(now, own, result, 'ear'));
      case 'held-stroke':
        return heldStroke(model, mode, event, event.at);
      default:
        return passHeard(model, mode, event);
    }
  },
  due: (model, mode, at) => {
    const { asking, hearing } = mode.play;
    if (asking !== null && at >= asking) return answered(model, mode, 'unmarked', 'nobody');
    if (hearing !== null && at >= hearing) return askHow(model, mode, at, notHeard);
    return pendingDue(model, mode, at);
  },
  leaving: (model, mode, at) => (isNaming(mode) ? dictationLeft(model, mode, at) : flushPending(model, mode)),
};

/** A drill that was not made from the chart on the stand comes onto it at the start. */
export function openDrillChart(model: Model, { start }: ChartOpened, drill: Drill): Step {
  return putDrillOn(model, drill, start, false, (play, stand) => ({
    kind: 'drill',
    stand,
    play,
    start,
    from: null,
  }));
}

/** A drill was chosen in the list; Esc leads back to the chart it was made from. */
export function chooseDrill(model: Model, drill: Drill): Step {
  const { mode, session } = model;
  const { performance } = session;
  if (!performance || (mode.kind !== 'chart' && mode.kind !== 'drill')) return step(model);
  const kept = withStand(mode, { pending: null });
  const from = kept.kind === 'drill' ? kept.from : { mode: kept, performance };
  const start = mode.kind === 'drill' ? mode.start : startOf(performance.setup);
  return inTurn(flushPending(model, mode), (now) =>
    putDrillOn(now, drill, start, false, (play, stand) => ({ kind: 'drill', stand, play, start, from })),
  );
}

function takeEnded(model: Model, mode: DrillMode, at: number): Step {
  if (!mode.play.ladder) return lastPassEnded(model, mode, at);
  return ladderPassOver(model, mode, at, (now, own, result) => answered(now, own, result, 'player'));
}

function answered(model: Model, mode: DrillMode, result: PassResult, by: 'player' | 'ear' | 'nobody'): Step {
  const { step: kept, mode: next, ladder } = scored(model, mode, result, by);
  if (!ladder) return kept;
  return inTurn(kept, (now) =>
    ladder.holds === null ? nextRung(now, ladder) : ladderOver(now, next, ladder),
  );
}

function backToChart(model: Model): Step {
  const { mode, session } = model;
  if (mode.kind !== 'drill' || !mode.from) return toLibrary(model);
  const stopped = pause(session);
  return played(
    { ...model, mode: mode.from.mode, overlay: null, notice: '' },
    { ...stopped, session: { ...stopped.session, performance: stoodReady(mode.from.performance) } },
  );
}
