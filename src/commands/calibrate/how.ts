import type { RoundTripOptions } from '../../listen/calibration.js';

/** How it is measured. */
export interface How extends RoundTripOptions {
  /** Clicks a minute. */
  readonly bpm: number;
  /** How many clicks are ignored at first, and how many count. */
  readonly first: number;
  readonly count: number;
}

/** A microphone that hears the loudspeaker: the clicks themselves are heard. */
export const byClicks: How = { bpm: 60, first: 2, count: 16, from: -60, to: 900, within: 12 };
/** With headphones: a hand that chops along is heard, as unevenly as hands are. */
export const byChops: How = { bpm: 100, first: 4, count: 16, from: -140, to: 450, within: 110 };

/** Clicks begin softly and get louder, percent, where they are not heard: ears and loudspeakers are spared. */
export const loudness = [30, 60, 100] as const;
/** The level in headphones, percent. */
export const inHeadphones = 60;
/** After this many clicks it is checked whether they are heard. */
export const lookAfter = 6;
/** A stroke is reported at most this long after it sounded, ms. */
export const toldMs = 900;

/** The time of a click, ms. */
export function beatMs({ bpm }: How): number {
  return 60_000 / bpm;
}
