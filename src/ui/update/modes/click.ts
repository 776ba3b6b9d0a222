import { meterText } from '../../../chart/chart.js';
import { clickChart, nextMeter } from '../../../chart/click-chart.js';
import { withPerformance, withSetup } from '../../../playback/session.js';
import type { Action } from '../../keys/actions.js';
import type { ChartOpened } from '../../state/messages.js';
import type { Model } from '../../state/model.js';
import type { ClickMode } from '../../state/modes.js';
import type { ModeRules } from '../rules.js';
import { standAction } from '../stand/actions.js';
import { newStand, putOn, toLibrary } from '../stand/put-on.js';
import { inTurn, noticed, type Step, step } from '../step.js';

/** The actions that a click shares with the stand; all others need a chart. */
const asOnStand: readonly Action[] = [
  'play',
  'slower',
  'faster',
  'tap',
  'count-in',
  'choose-click',
  'choose-voices',
  'choose-output',
  'choose-pedals',
  'lateness',
  'help',
];

/** A click without a song. Nothing of it is kept, and no bar of it is a pass for the diary. */
export const clickRules: ModeRules<ClickMode> = {
  act: (model, mode, action, at) => {
    if (action === 'next-meter') return toNextMeter(model);
    return asOnStand.includes(action) ? standAction(model, mode, action, at) : step(model);
  },
  back: (model) => toLibrary(model),
  heard: (model, _, event) => (event.kind === 'play-sent' ? noticed(model, '') : step(model)),
  due: (model) => step(model),
  leaving: (model) => step(model),
};

/** A click is there, and begins as soon as it can. */
export function openClick(model: Model, { chart, start }: ChartOpened): Step {
  const put = putOn(model, { kind: 'click', stand: newStand(start) }, chart, start);
  return inTurn(put, (now) => step({ ...now, session: withPerformance(now.session, { eager: true }) }));
}

/** Another meter, at as many beats a minute. */
function toNextMeter(model: Model): Step {
  const { performance } = model.session;
  if (!performance) return step(model);
  const { chart } = performance.setup;
  const meter = nextMeter(chart.meter);
  const session = withSetup(model.session, { chart: clickChart(meter, chart.tempo.bpm) });
  return noticed({ ...model, session }, `${meterText(meter)}; U takes it back`);
}
