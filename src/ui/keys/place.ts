import type { Model } from '../state/model.js';
import { drillOf } from '../state/select.js';
import type { KeyPlace } from './bindings.js';

/** Where a key is pressed: the overlay comes before the mode. */
export function placeOf({ mode, overlay }: Pick<Model, 'mode' | 'overlay'>): KeyPlace {
  switch (overlay?.kind) {
    case undefined:
      break;
    case 'line':
    case 'voices':
    case 'help':
    case 'tuning':
    case 'order':
    case 'requests':
    case 'band':
      return overlay.kind;
    case 'keys':
    case 'outputs':
    case 'patterns':
    case 'drills':
      return 'choose';
    default:
      return 'panel';
  }
  if (mode.kind === 'set') return mode.run.phase === 'song' ? 'song' : 'card';
  if (mode.kind === 'sitting' && mode.phase !== 'playing') return 'sitting';
  if (mode.kind === 'follow') return 'follow';
  if (mode.kind !== 'chart' && mode.kind !== 'drill' && mode.kind !== 'sitting') return mode.kind;
  const drill = drillOf(mode);
  if (drill?.dictation) return 'dictation';
  if (drill && (drill.asking !== null || drill.hearing !== null)) return 'asking';
  if (drill && mode.stand.pending?.ladder && mode.stand.pending.heard) return 'judged';
  return drill?.drill.start.waits ? 'waiting' : 'stand';
}
