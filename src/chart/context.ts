import { type Key, transposeKey } from '../theory/key.js';
import type { Change, PlayedBar } from './chart.js';
import { keyAt } from './key-target.js';

/** What holds where a pass has come to. */
export type Context = Pick<PlayedBar, 'key' | 'meter' | 'tempo' | 'feel'>;

/** What holds after a change in a pass that is played in the key `home`. */
export function changed(context: Context, change: Change, home: Key): Context {
  switch (change.kind) {
    case 'meter':
      return { ...context, meter: change.meter };
    case 'key':
      return { ...context, key: transposeKey(context.key, change.halfSteps) };
    case 'tempo':
      return { ...context, tempo: { ...context.tempo, bpm: change.bpm } };
    case 'swing':
      return { ...context, feel: { swing: change.swing } };
    case 'key-to':
      return { ...context, key: keyAt(change.to, home) };
    // These two are about time alone, and hold for bars and not from a place on: see slowing.ts.
    case 'slow':
    case 'wait':
      return context;
  }
}
