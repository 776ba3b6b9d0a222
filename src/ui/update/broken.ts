import { goOnRun } from '../../setlist/run.js';
import type { Action } from '../keymap.js';
import type { Model, SetRun, Updated } from '../model.js';
import { ranOn } from './run.js';

/** What concerns a run that has not begun: nothing, while it is open what is to become of the one before. */
const waiting: readonly Action[] = ['song-next', 'song-back', 'song-again', 'card-holds', 'order', 'tune'];

/** A key while it is asked what is to become of a run that was broken off; `null` when it is none of these. */
export function brokenAction(model: Model, set: SetRun, action: Action, at: number): Updated | null {
  if (action === 'go-on')
    return {
      model: { ...model, notice: '' },
      effects: [{ kind: 'open', file: set.file, wishes: { key: null, bpm: null }, from: 'resume' }],
    };
  if (action === 'run-anew') return begunAnew(model, { ...set, broken: null }, at);
  return waiting.includes(action) ? { model, effects: [] } : null;
}

/** The run before is forgotten, and the set begins with its first song; what is wrong with it is told first. */
function begunAnew(model: Model, set: SetRun, at: number): Updated {
  const forgotten: Updated['effects'] = [{ kind: 'keep-run', file: set.file, run: null }];
  const wrong = set.run.songs.some(({ problem }) => problem !== null);
  const told: Model = { ...model, notice: set.faults[0] ?? '', set };
  if (wrong) return { model: told, effects: forgotten };
  const done = ranOn(told, set, goOnRun(set.run, at), at);
  return { model: done.model, effects: [...forgotten, ...done.effects] };
}
