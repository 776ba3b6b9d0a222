import type { Model } from '../../state/model.js';
import type { ChartMode, SetMode } from '../../state/modes.js';
import { ranOn, stop } from '../modes/set/steps.js';
import { flushPending } from '../stand/pending.js';
import { inTurn, type Step } from '../step.js';

/** From a chart that somebody else brought back to the set that was run before: to the card of its song, which waits. */
export function backToSet(model: Model, mode: ChartMode, set: SetMode, at: number): Step {
  const run = { ...set.run, phase: 'card' as const, until: null };
  return inTurn(flushPending(model, mode), stop, (now) =>
    ranOn({ ...now, mode: set }, set, { run, asks: ['card'] }, at),
  );
}
