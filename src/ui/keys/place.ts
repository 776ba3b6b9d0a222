import type { Model } from '../state/model.js';
import { drillOf } from '../state/select.js';
import type { KeyPlace } from './binding.js';

/** Where a key is pressed: the overlay comes before the mode. */
export function placeOf({ mode, overlay }: Pick<Model, 'mode' | 'overlay'>): KeyPlace {
  switch (overlay?.kind) {
    case undefined:
      break;
    case 'line':
    case 'voices':
    case 'help':
    case 'order':
    case 'requests':
      return overlay.kind;
    default:
      return 'panel';
  }
  switch (mode.kind) {
    case 'library':
    case 'transcribe':
      return mode.kind;
    case 'set':
      return mode.run.phase === 'song' ? 'song' : 'card';
    case 'chart':
      return 'stand';
    case 'sitting':
      if (mode.phase !== 'playing') return 'sitting';
  }
  const drill = drillOf(mode);
  if (drill && drill.asking !== null) return 'asking';
  return drill?.drill.start.waits ? 'waiting' : 'stand';
}
