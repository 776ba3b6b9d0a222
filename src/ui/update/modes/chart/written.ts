import type { Message } from '../../../state/messages.js';
import type { Model } from '../../../state/model.js';
import { type Step, step } from '../../step.js';

/** A chart's text stands in its file; an edited demo chart in a file of the player's own. */
export function written(model: Model, { file, says, open }: Extract<Message, { kind: 'written' }>): Step {
  const told: Model = { ...model, notice: says };
  const { mode } = model;
  if (open) return step(told, { kind: 'open', file, wishes: { key: null, bpm: null }, from: 'chart' });
  return mode.kind === 'chart'
    ? step({ ...told, mode: { ...mode, text: { ...mode.text, file } } })
    : step(told);
}
