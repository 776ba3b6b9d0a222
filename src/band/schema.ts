import * as v from 'valibot';
import { safeText } from '../base/safe-text.js';
import { parseKey } from '../theory/key.js';

/** The schemas of the smallest pieces of messages, all of which come from outside. */

/** A text for a person, of at most this many characters: what could steer a terminal is made visible. */
export const shownText = (most: number) => v.pipe(v.string(), v.maxLength(most), v.transform(safeText));

/** The id of a stand, as it is in topics. */
export const idText = v.pipe(v.string(), v.regex(/^[\w.-]{1,64}$/));

/** The name of a key: `A`, `F#m`. */
export const keyText = v.pipe(
  v.string(),
  v.maxLength(8),
  v.check((text) => parseKey(text).ok),
);

/** A whole number from `least` to `most`. */
export const whole = (least: number, most: number) =>
  v.pipe(v.number(), v.safeInteger(), v.minValue(least), v.maxValue(most));

/** A number from `least` to `most`. */
export const within = (least: number, most: number) =>
  v.pipe(v.number(), v.finite(), v.minValue(least), v.maxValue(most));

/** More ticks than anybody plays: eighty years. */
const mostTicks = 1e13;
/** More than any monotonic clock shows, ms. */
const mostMs = 1e13;
/** The most bars of a pass (`barLimit`), and the most passes that are counted. */
const mostBars = 10_000;
export const mostPasses = 1_000_000;

/** A tick of the leader's transport. */
export const tick = whole(0, mostTicks);
/** Ticks from the start of something. */
export const ticksLong = whole(0, mostTicks);
/** A moment of a stand's monotonic clock, ms. */
export const moment = within(-mostMs, mostMs);
/** A bar of a pass, from 0. */
export const barAt = whole(0, mostBars - 1);
/** A pass, from 1. */
export const passAt = whole(1, mostPasses);

/** What grows with each message of a stand, so that one that was sent before is known. */
export const sequence = whole(1, Number.MAX_SAFE_INTEGER);
/** The highest term; after it comes the first one again. */
export const mostTerm = 1_000_000_000;
/** What grows with each time that the lead is taken. */
export const termNumber = whole(1, mostTerm);

/** Whether numbers grow, each above the one before. */
export const growing = <T>(list: readonly T[], of: (one: T) => number): boolean =>
  list.every((one, index) => index === 0 || of(one) > of(list[index - 1] as T));
