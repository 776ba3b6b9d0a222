import type { Drill } from './drill.js';
import type { Task } from './task.js';

/** One thing to do in a sitting: a drill for some minutes, and why; or a rest. */
export type SittingItem =
  | {
      readonly kind: 'drill';
      readonly drill: Drill;
      readonly minutes: number;
      readonly why: string;
      /** The task, for a plan file; `null` if it cannot be written in one. */
      readonly task: Task | null;
    }
  | { readonly kind: 'rest'; readonly seconds: number; readonly says: string };

/** Minutes that a sitting takes, rests included. */
export function minutesOf(items: readonly SittingItem[]): number {
  return items.reduce((sum, item) => sum + (item.kind === 'rest' ? item.seconds / 60 : item.minutes), 0);
}

/** A rest as it usually is. */
export const restItem: Extract<SittingItem, { readonly kind: 'rest' }> = {
  kind: 'rest',
  seconds: 45,
  says: 'let the hand hang, open and close it; if something hurts, that is all for today',
};
