import type { Condition } from '../../listen/condition.js';

/** What the screen knows of the ear. */
export interface EarView {
  /** It is to listen. */
  readonly on: boolean;
  /** What it listens to, and at how many samples a second; `null` while nothing is open. */
  readonly opened: { readonly name: string; readonly rate: number } | null;
  /** How loud it is there, in steps of the meter, from 0 (nothing) to `meterSteps`. */
  readonly level: number;
  readonly condition: Condition;
  /** Why nothing can be judged now, in one line; empty when all is well. */
  readonly trouble: string;
}

/** The steps of the level's meter, and the levels, dB below full scale, between which they lie. */
export const meterSteps = 8;
const meter = { from: -60, to: -6 } as const;

/** An ear that does not listen. */
export const deaf: EarView = { on: false, opened: null, level: 0, condition: 'fine', trouble: '' };

/** The meter's step for a level, dB below full scale. */
export function meterStep(level: number): number {
  const share = (level - meter.from) / (meter.to - meter.from);
  return Math.max(0, Math.min(meterSteps, Math.round(share * meterSteps)));
}
