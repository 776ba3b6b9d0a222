import type { Chart } from '../../../chart/chart.js';
import { passView } from '../../../playback/pass-view.js';
import { withPerformance, withSetup } from '../../../playback/session.js';
import type { Drill } from '../../../shed/drill.js';
import { drillsFor } from '../../../shed/drills.js';
import { beginLadder, climb, type Ladder, type PassResult, usualLadder } from '../../../shed/ladder.js';
import { seeded } from '../../../shed/seeded.js';
import type { Action } from '../../keys/actions.js';
import type { Effect } from '../../state/messages.js';
import type { Model } from '../../state/model.js';
import type { DrillMode, DrillPlay, SittingMode, StandStart } from '../../state/modes.js';
import { usualSight } from '../../state/sight.js';
import { noticed, type Step, step, withStand } from '../step.js';
import { standAction } from './actions.js';
import { wholePass } from './pass-record.js';
import { newStand, putOn } from './put-on.js';
import { tempoWithin } from './tempo.js';

/** How long the player can say how a pass was, when asked, ms. */
const askMs = 5000;

/** A mode in which a drill stands on the stand. */
type Practising = DrillMode | (SittingMode & { readonly play: DrillPlay });

/**
 * Opens the list of drills that can be made from the chart, in the key in which it stands; phrases are those under the cursor.
 * On a drill that was made from a chart they are made from that chart, as it stands below, but in the drill's key.
 */
export function openDrills(model: Model, at: number): Step {
  const { mode, session } = model;
  const below = mode.kind === 'drill' ? (mode.from?.performance ?? null) : null;
  const performance = below ?? session.performance;
  const view = performance && passView(performance);
  if (!view) return step(model);
  const { setup, cursor } = performance;
  const chart: Chart = { ...setup.chart, key: session.performance?.setup.key ?? setup.key };
  const drills = drillsFor(chart, view.plan, cursor.bar, seeded(Math.floor(at)), setup.plan);
  return step({ ...model, overlay: { kind: 'drills', drills } });
}

/** A key on the stand while a drill is practised; `answered`: the player has said how the pass was, when asked. */
export function practiceAction(
  model: Model,
  mode: Practising,
  action: Action,
  at: number,
  answered: (result: PassResult) => Step,
): Step {
  if (mode.play.asking !== null && action === 'mark-clean') return answered('clean');
  if (mode.play.asking !== null && action === 'mark-miss') return answered('miss');
  return action === 'choose-drill' ? openDrills(model, at) : standAction(model, mode, action, at);
}

/** A drill comes onto the stand in its mode. `eager`: it begins as soon as it is arranged. */
export function putDrillOn(
  model: Model,
  drill: Drill,
  start: StandStart,
  eager: boolean,
  modeWith: (play: DrillPlay, stand: DrillMode['stand']) => Practising,
): Step {
  const { chart, start: own } = drill;
  const share = own.ladder && !own.exact ? (model.ladder.start ?? own.share) : own.share;
  const { click, mix } = start;
  const opened: StandStart = {
    ...start,
    key: chart.key,
    bpm: Math.max(20, Math.round(chart.tempo.bpm * share)),
    countIn: Math.max(1, start.countIn),
    passes: own.ladder ? 1 : (own.passes ?? null),
    range: own.waits ? { from: 0, to: 1 } : null,
    from: 0,
    mix: { ...mix, alone: null, on: { ...mix.on, ...own.voices } },
    click: { ...click, ...own.click, kind: own.click?.kind ?? (click.kind === 'off' ? 'every' : click.kind) },
    pattern: null,
    plan: own.closed ? { ...start.plan, open: false } : start.plan,
    ramp: own.ramp ? { to: own.ramp.to, bars: own.ramp.bars } : null,
    sight: {
      ...usualSight,
      names: own.numbersOnly ? 'numbers' : 'both',
      late: own.late ?? null,
      hand: !own.noHand,
    },
    picks: [],
  };
  const rules = {
    ...usualLadder,
    inRow: own.inRow ?? model.ladder.inRow,
    start: share,
    target: chart.tempo.bpm,
  };
  const play: DrillPlay = { drill, ladder: own.ladder ? beginLadder(rules) : null, asking: null };
  const done = putOn(model, modeWith(play, newStand(opened)), chart, opened);
  const session = withPerformance(done.model.session, { eager });
  // What is to be done stands there until play is pressed.
  return { ...done, model: { ...done.model, session, notice: eager ? '' : drill.says } };
}

/** The pass on a ladder is over: how it was is asked, unless the player has said so already. */
export function askHow<M extends Practising>(model: Model, mode: M, at: number): Step {
  return step({ ...model, at, notice: '', mode: withPlay(mode, { asking: at + askMs }) });
}

/** How the pass was is known, or will not be: it is kept, and the ladder goes on. */
export function scored<M extends Practising>(
  model: Model,
  mode: M,
  result: PassResult,
  at: number,
): { readonly step: Step; readonly mode: M; readonly ladder: Ladder | null } {
  const { session } = model;
  const { asking, ladder: before } = mode.play;
  const { performance } = session;
  const ended = asking === null ? at : Math.min(at, asking);
  const record = performance && wholePass(mode, performance, performance.passBegan, ended);
  const recording: Effect[] = record ? [{ kind: 'record', record, result }] : [];
  const ladder = before && climb(before, result);
  const next = withStand(withPlay(mode, { ladder, asking: null }), { mark: null });
  const after: Model = { ...model, mode: next, session: withPerformance(session, { passBegan: null }) };
  return { step: step(after, ...recording), mode: next, ladder };
}

/** The next pass on the ladder begins by itself, at its tempo. */
export function nextRung(model: Model, ladder: Ladder): Step {
  const bpm = tempoWithin(ladder.bpm);
  const session = withPerformance(withSetup(model.session, { bpm }), { eager: true });
  return step({ ...model, session });
}

/** A ladder has come to its end: what holds is said, and it can be begun again. */
export function ladderOver<M extends Practising>(model: Model, mode: M, ladder: Ladder): Step {
  const again = withPlay(mode, { ladder: beginLadder(ladder.rules) });
  return noticed({ ...model, mode: again }, `${Math.round(ladder.holds ?? 0)} holds; Space begins again`);
}

/** A mode with something of its drill changed. */
export function withPlay<M extends Practising>(mode: M, changes: Partial<DrillPlay>): M {
  return { ...mode, play: { ...mode.play, ...changes } };
}
