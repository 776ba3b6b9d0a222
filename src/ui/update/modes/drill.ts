import { stoodReady } from '../../../playback/performance.js';
import { pause } from '../../../playback/session.js';
import { startOf } from '../../../playback/setup.js';
import type { Drill } from '../../../shed/drill.js';
import type { PassResult } from '../../../shed/ladder.js';
import type { ChartOpened } from '../../state/messages.js';
import type { Model } from '../../state/model.js';
import type { DrillMode } from '../../state/modes.js';
import type { ModeRules } from '../rules.js';
import { askHow, ladderOver, nextRung, practiceAction, putDrillOn, scored } from '../stand/drills.js';
import { flushPending, lastPassEnded, passHeard } from '../stand/marks.js';
import { toLibrary } from '../stand/put-on.js';
import { inTurn, played, type Step, step } from '../step.js';

/** A drill, made from a chart or from nothing. */
export const drillRules: ModeRules<DrillMode> = {
  act: (model, mode, action, at) => {
    return practiceAction(model, mode, action, at, (result) => answered(model, mode, result, at));
  },
  back: (model, mode) => inTurn(flushPending(model, mode), backToChart),
  heard: (model, mode, event) => {
    if (event.kind !== 'take-ended') return passHeard(model, mode, event);
    return takeEnded(model, mode, event.at);
  },
  due: (model, mode, at) => {
    const { asking } = mode.play;
    return asking !== null && at >= asking ? answered(model, mode, 'unmarked', at) : step(model);
  },
  leaving: flushPending,
};

/** A drill that was made from nothing on the stand comes onto it as it starts. */
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
  const from = mode.kind === 'drill' ? mode.from : { mode, performance };
  const start = mode.kind === 'drill' ? mode.start : startOf(performance.setup);
  return putDrillOn(model, drill, start, false, (play, stand) => ({
    kind: 'drill',
    stand,
    play,
    start,
    from,
  }));
}

function takeEnded(model: Model, mode: DrillMode, at: number): Step {
  if ((model.session.performance?.passBegan ?? null) === null) return step(model);
  if (!mode.play.ladder) return lastPassEnded(model, mode, at);
  const { mark } = mode.stand;
  return mark ? answered(model, mode, mark, at) : askHow(model, mode, at);
}

function answered(model: Model, mode: DrillMode, result: PassResult, at: number): Step {
  const { step: kept, mode: next, ladder } = scored(model, mode, result, at);
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
