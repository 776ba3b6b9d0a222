import type { Condition } from '../../listen/condition.js';

/** What the screen knows of the ear. */
export interface EarView {
  /** It is to listen. */
  readonly on: boolean;
  /** What it listens to, and at how many samples a second; `null` while nothing is open. */
  readonly opened: { readonly name: string; readonly rate: number } | null;
  /** How loud it is there, in steps of the meter, from 0 (nothing) to `meterSteps`. */
  readonly level: number;
  /** Since when it has had this value, ms. */
  readonly levelAt: number;
  readonly condition: Condition;
  /** Why nothing can be judged now, in one line; empty when all is well. */
  readonly trouble: string;
  /** What was said of it last: a line that is read to its end, on several where it does not fit. */
  readonly says: string;
  /** When it was, ms. */
  readonly saidAt: number;
  /** Somebody else plays: strokes cannot be told apart. */
  readonly company: boolean;
  /** Whether the hint about a missing calibration was shown. */
  readonly toldUncalibrated: boolean;
}

/** The steps of the level's meter, and the levels, dB below full scale, between which they lie. */
export const meterSteps = 5;
const meter = { from: -60, to: -6 } as const;

/** It rises at once and falls one step in this time, ms, so that it does not flicker with each stroke. */
const fallMs = 600;

/** An ear that does not listen. */
export const deaf: EarView = {
  on: false,
  opened: null,
  level: 0,
  levelAt: 0,
  condition: 'fine',
  trouble: '',
  says: '',
  saidAt: 0,
  company: false,
  toldUncalibrated: false,
};

/** The meter's step for a level, dB below full scale. */
export function meterStep(level: number): number {
  const share = (level - meter.from) / (meter.to - meter.from);
  return Math.max(0, Math.min(meterSteps, Math.round(share * meterSteps)));
}

/** The meter at a time, ms, when the level is heard. */
export function meterAt(
  { level, levelAt }: Pick<EarView, 'level' | 'levelAt'>,
  heard: number,
  at: number,
): Pick<EarView, 'level' | 'levelAt'> {
  const step = meterStep(heard);
  if (step > level) return { level: step, levelAt: at };
  return step < level && at - levelAt >= fallMs ? { level: level - 1, levelAt: at } : { level, levelAt };
}

/** Whether strokes can be told well enough to be marked: nothing is marked that may be the room's, or somebody else's. */
export function canMark({ on, condition, trouble, company }: EarView): boolean {
  return on && condition === 'fine' && trouble === '' && !company;
}
