import type { Model, Updated } from '../model.js';

/** One update after another: the model of the second, the effects of both in order. */
export function joined(first: Updated, then: Updated | ((model: Model) => Updated)): Updated {
  const second = typeof then === 'function' ? then(first.model) : then;
  return { model: second.model, effects: [...first.effects, ...second.effects] };
}
