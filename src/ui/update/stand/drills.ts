import type { Chart } from '../../../chart/chart.js';
import { passView } from '../../../playback/pass-view.js';
import { withPerformance } from '../../../playback/session.js';
import { earMix, earStart } from '../../../shed/dictation/ear-start.js';
import type { Drill } from '../../../shed/drill.js';
import { drillsFor } from '../../../shed/drills.js';
import { beginLadder, type PassResult, usualLadder } from '../../../shed/ladder.js';
import { seeded } from '../../../shed/seeded.js';
import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import type { DictationPlay, DrillMode, DrillPlay, StandStart } from '../../state/modes.js';
import { usualSight } from '../../state/sight.js';
import { type Step, step } from '../step.js';
import { standAction } from './actions.js';
import { firstPhrase, nextPhrase } from './dictation.js';
import { newStand, putOn } from './put-on.js';
import { isOpen, type Practising } from './rungs.js';

/**
 * Opens the list of drills that can be made from the chart, in the key in which it stands; phrases are those under the cursor.
 * On a drill that was made from a chart they are made from that chart, as it is below, but in the drill's key.
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

/** A key on the stand while a drill is practised; `answered`: the player has said how the pass on the ladder was. */
export function practiceAction(
  model: Model,
  mode: Practising,
  action: Action,
  at: number,
  answered: (result: PassResult) => Step,
): Step {
  const word = action === 'mark-clean' ? 'clean' : action === 'mark-miss' ? 'miss' : null;
  if (word && isOpen(mode)) return answered(word);
  return action === 'choose-drill' ? openDrills(model, at) : standAction(model, mode, action, at);
}

/** A drill comes onto the stand in its mode. `eager`: it begins as soon as it is arranged; `named`: its phrase, where changes are named by ear. */
export function putDrillOn(
  model: Model,
  drill: Drill,
  start: StandStart,
  eager: boolean,
  modeWith: (play: DrillPlay, stand: DrillMode['stand']) => Practising,
  named: DictationPlay | null = drill.dictation ? firstPhrase(drill.dictation) : null,
): Step {
  const { start: own } = drill;
  const chart = named?.dictation.round.chart ?? drill.chart;
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
    mix: named ? earMix(mix, own.voices ?? {}) : { ...mix, alone: null, on: { ...mix.on, ...own.voices } },
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
    ...(named ? { answers: named.dictation.round.numbers, ...earStart(chart) } : {}),
  };
  const rules = {
    ...usualLadder,
    inRow: own.inRow ?? model.ladder.inRow,
    start: share,
    target: chart.tempo.bpm,
  };
  const play: DrillPlay = {
    drill,
    ladder: own.ladder ? beginLadder(rules) : null,
    asking: null,
    hearing: null,
    held: null,
    dictation: named,
  };
  const done = putOn(model, modeWith(play, newStand(opened)), chart, opened);
  const session = withPerformance(done.model.session, { eager });
  // What to do is shown until play is pressed.
  return { ...done, model: { ...done.model, session, notice: eager || drill.dictation ? '' : drill.says } };
}

/** The next phrase of a drill in which changes are named by ear comes onto the stand, and begins. */
export function putNextPhraseOn(model: Model, mode: Practising): Step {
  const { drill, dictation } = mode.play;
  if (!dictation) return step(model);
  return putDrillOn(
    model,
    drill,
    mode.start,
    true,
    (play, stand) => ({ ...mode, stand, play }),
    nextPhrase(dictation),
  );
}
