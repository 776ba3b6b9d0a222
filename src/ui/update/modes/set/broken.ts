import { goOnRun } from '../../../../setlist/run.js';
import type { Action } from '../../../keys/actions.js';
import type { Effect } from '../../../state/messages.js';
import type { Model } from '../../../state/model.js';
import type { SetMode } from '../../../state/modes.js';
import { inTurn, type Step, step } from '../../step.js';
import { ranOn } from './steps.js';

/** For a run that has not begun: nothing, while the question about the previous run is open. */
const waiting: readonly Action[] = ['song-next', 'song-back', 'song-again', 'card-holds', 'order', 'tune'];

/** A key while the question is open what to do with a run that was stopped; `null` when it is none of these. */
export function brokenAction(model: Model, mode: SetMode, action: Action, at: number): Step | null {
  if (action === 'go-on') {
    const wishes = { key: null, bpm: null };
    return step({ ...model, notice: '' }, { kind: 'open', file: mode.file, wishes, from: 'resume' });
  }
  if (action === 'run-anew') return begunAnew(model, { ...mode, broken: null }, at);
  return waiting.includes(action) ? step(model) : null;
}

/** The run before is forgotten, and the set begins with its first song; what is wrong with it is shown first. */
function begunAnew(model: Model, mode: SetMode, at: number): Step {
  const forget: Effect = { kind: 'keep-run', file: mode.file, run: null };
  const begun = step({ ...model, notice: mode.faults[0] ?? '', wrong: mode.faults[0] ?? '', mode }, forget);
  const wrong = mode.run.songs.some(({ problem }) => problem !== null);
  return wrong ? begun : inTurn(begun, (now) => ranOn(now, mode, goOnRun(mode.run, at), at));
}
