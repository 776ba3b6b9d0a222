import type { Chart } from '../../../chart/chart.js';
import { readyAt } from '../../../playback/performance.js';
import { pause } from '../../../playback/session.js';
import { setupOf } from '../../../playback/setup.js';
import { noHistory } from '../../state/history.js';
import type { Model } from '../../state/model.js';
import type { Stand, StandMode, StandStart } from '../../state/modes.js';
import { usualSight } from '../../state/sight.js';
import { played, type Step } from '../step.js';

/** A stand before any input. */
export function newStand({ sight = usualSight }: Pick<StandStart, 'sight'> = {}): Stand {
  return { sight, history: noHistory, taps: [], mark: null, pending: null, strokes: [], heard: null };
}

/** A chart comes onto the stand in a mode: what plays is stopped, and it is arranged at once and waits for play. */
export function putOn(model: Model, mode: StandMode, chart: Chart, { sight: _, ...start }: StandStart): Step {
  const { session, commands, events } = pause(model.session);
  // When a song is played, the player gives the cues; drills and sittings go on by themselves.
  const holds = mode.kind === 'chart' || mode.kind === 'set';
  const performance = readyAt({ ...setupOf(chart, start), holds }, start.from);
  return played(
    { ...model, mode, overlay: null, confirm: null, notice: '' },
    { session: { ...session, performance }, commands, events },
  );
}

/** The list comes back, and what plays is stopped; where there is no list, the program is left. */
export function toLibrary(model: Model): Step {
  const { session, commands, events } = pause(model.session);
  const listed: Model = {
    ...model,
    mode: { kind: 'library' },
    overlay: null,
    confirm: null,
    notice: '',
  };
  const stopped = played(listed, { session: { ...session, performance: null }, commands, events });
  return model.library ? stopped : { ...stopped, effects: [...stopped.effects, { kind: 'leave' }] };
}
