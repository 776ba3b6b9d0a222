import { goodbye } from '../../../band/say.js';
import {
  type Played,
  pause,
  inTurn as playedInTurn,
  type Session,
  unmoved,
  withPerformance,
} from '../../../playback/session.js';
import { startOf } from '../../../playback/setup.js';
import type { Model } from '../../state/model.js';
import type { ChartMode, FollowMode } from '../../state/modes.js';
import { flushPending } from '../stand/pending.js';
import { newStand, toLibrary } from '../stand/put-on.js';
import { inTurn, noticed, played, type Step, step } from '../step.js';
import { goneOut } from './out.js';

/** Leaves the band, and tells it so. What was followed stays as a chart; what was led plays on. */
export function leaveBand(model: Model, at: number, notice: string): Step {
  const { band: view } = model;
  if (!view) return step(model);
  const left = goneOut(model, goodbye(view.band, at));
  const closed: Step = { ...left, effects: [...left.effects, { kind: 'leave-band' }] };
  return inTurn(
    closed,
    (now) => played(now, view.band.lined ? offTheLine(now.session) : unmoved(now.session)),
    (now) => step({ ...now, band: null, confirm: null, overlay: null }),
    (now) => (now.mode.kind === 'follow' ? ownAgain(now, now.mode, view.band.song?.source ?? '') : step(now)),
    (now) => step({ ...now, session: alone(now.session) }),
    (now) => noticed(now, notice),
  );
}

/** For a stand that plays alone the form means its player, as it would without a band. */
function alone(session: Session): Session {
  const { performance } = session;
  if (!performance) return session;
  const { mine: _, ...setup } = performance.setup;
  return withPerformance(session, { setup });
}

/** Time that ran along a leader's line is stopped, and runs by itself from the next play on. */
function offTheLine(session: Session): Played {
  return playedInTurn(pause(session), (now) => ({
    session: now,
    commands: [{ kind: 'tell', message: { kind: 'line', spans: null } }],
    events: [],
  }));
}

/**
 * A stand that followed plays alone, or leads: on with what is on the stand, as what it was before if that is the same chart, else as a chart
 * that is in no file. `source`: its text.
 */
export function ownAgain(model: Model, mode: FollowMode, source: string): Step {
  const { performance } = model.session;
  const { from, stand } = mode;
  if (from && (performance === null || from.performance?.setup.chart === performance.setup.chart)) {
    const session = performance ? model.session : { ...model.session, performance: from.performance };
    return step({ ...model, session, mode: { ...from.mode, stand } });
  }
  if (performance === null) return model.library ? inTurn(flushPending(model, mode), toLibrary) : step(model);
  const chart: ChartMode = {
    kind: 'chart',
    stand,
    text: { file: '', source, earlier: [], saved: source, saving: false },
    ...(from?.mode.kind === 'set' ? { under: from.mode } : {}),
  };
  return step({ ...model, mode: chart });
}

/** A follower's mode, with nothing on the stand yet or with what is there. */
export function followFrom(model: Model): FollowMode | null {
  const { mode, session, bandAs } = model;
  const { performance } = session;
  if (!bandAs || mode.kind === 'follow') return null;
  const before = mode.kind === 'chart' || mode.kind === 'set' ? mode : null;
  const stand = before?.stand ?? newStand(bandAs.stand);
  const start = performance ? { ...startOf(performance.setup), sight: stand.sight } : bandAs.stand;
  return {
    kind: 'follow',
    stand,
    start,
    look: null,
    ended: 0,
    from: before && { mode: before, performance },
  };
}
