import { type Key, transposeKey } from '../theory/key.js';
import type { Change, PlayedBar } from './chart.js';
import { keyAt } from './key-target.js';

/** The key, meter, tempo and feel at a place of a pass. */
export type Context = Pick<PlayedBar, 'key' | 'meter' | 'tempo' | 'feel'>;

/** The same after a change, in a pass that is played in the key `home`. */
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
    // These two concern single bars, not everything from here on: see slowing.ts.
    case 'slow':
    case 'wait':
      return context;
  }
}
