import type { Place } from './keymap.js';
import type { Model } from './model.js';

/** Where a key is pressed. */
export function placeOf(model: Model): Place {
  if (model.entry) return 'entry';
  const { panel } = model;
  if (panel === 'voices' || panel === 'help' || panel === 'order' || panel === 'requests') return panel;
  if (panel !== null) return 'panel';
  if (model.sitting && model.sitting.phase !== 'playing') return 'sitting';
  if (model.set) return model.set.run.phase === 'song' ? 'song' : 'card';
  if (model.screen === 'stand' && model.stand?.asking != null) return 'asking';
  if (model.screen === 'stand' && model.stand?.drill?.start.waits) return 'waiting';
  return model.screen === 'stand' && model.stand?.taking ? 'taking' : model.screen;
}
