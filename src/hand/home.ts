import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import { keyName } from '../theory/key.js';
import { pitchClass } from '../theory/pitch.js';
import type { ChordChange } from './changes.js';
import type { Frets } from './fingering.js';
import { type Instrument, tunedInFifths } from './instrument.js';

/** Frets in which the shapes of a key begin, both counted in: where the index lives. */
export interface Home {
  readonly low: number;
  readonly high: number;
}

/** Where a player wants the hand: low on the neck as is usual, high, or within frets. */
export type HomeWish = 'low' | 'high' | Home;

/** Where the hand is wanted, and where the keys of a song have it. */
export interface HandPlace {
  readonly wish: HomeWish;
  readonly homes: readonly Home[];
}

/** Low on the neck, no key being known. */
export const usualPlace: HandPlace = { wish: 'low', homes: [] };

/**
 * What a place on the neck costs, in ms for each time a chord comes. All are ours, and stand for a habit with reasons
 * (bark, intonation, sight of the neck, room for the next hand) that twelve frets of height, priced as travel, would not show.
 */
export const placePrices = {
  /** For each fret that a shape begins above the fifth: there the strings shorten and bark less. */
  perFret: 20,
  freeUpTo: 5,
  /** For each fret that a shape begins outside the homes of the song's keys. */
  perFretAway: 12,
  perFretBelow: 12,
  /** Once, for a closed shape that begins above the seventh, unless the key's own family stands there: more than the way there and back. */
  aboveSeventh: 500,
  highest: 7,
  /** For each fret outside of the frets that the player asked for. */
  perFretOutside: 60,
} as const;

/** The wish `high`: shapes that begin from the fifth to the ninth fret. */
export const highHome: Home = { low: 5, high: 9 };

/** Where, counted in half steps from the tonic, the two families of a major key begin on courses tuned from G. */
const fourFinger = { tonic: 'G', begins: 2, below: 0, above: 2 } as const;
const threeFinger = { tonic: 'D', begins: 4, below: 2, above: 0 } as const;

/**
 * Where the hand is at home in a major key, for courses in fifths: the lowest place where the 1 is held by the
 * four-finger or three-finger family, closed, and no shape of 1 4 5 falls below the nut. Common practice: G 2 to 4, A 4
 * to 6, B 6 to 8, C 0 to 2, D 2 to 4, E 4 to 6. Where the 1 itself begins at the seventh fret, in F, the hand is as much
 * at home low, with forms that stand in. None on other tunings.
 */
export function homesOfKey(tonic: string, instrument: Instrument): readonly Home[] {
  if (!tunedInFifths(instrument) || instrument.courses.length !== 4) return [];
  const lowest = instrument.courses[0]?.open ?? 55;
  const homes = [fourFinger, threeFinger].map(({ tonic: model, begins, below, above }) => {
    const moved = begins + pitchClass(tonic) - pitchClass(model) - (lowest - 55);
    const one = ((moved % 12) + 12) % 12 || 12;
    const up = one - below < 0 ? 12 : 0;
    return { low: one - below + up, high: one + above + up, one: one + up };
  });
  const { low, high, one } = homes.reduce((best, other) => (other.low < best.low ? other : best));
  return one < placePrices.highest ? [{ low, high }] : [{ low, high }, lowHome];
}

/** Where minor keys are played, whatever the tonic: no family goes round their 1 4 5, and low forms serve all (common practice). */
export const minorHome: Home = { low: 1, high: 4 };

/** The low home of a major key whose family stands high. */
const lowHome: Home = { low: 1, high: 3 };

/** The homes of all keys of a pass, each once, in the order they come. */
export function homesOf(changes: readonly ChordChange[], instrument: Instrument): readonly Home[] {
  const keys = new Map(changes.map(({ key }) => [keyName(key), key]));
  return [...keys.values()].flatMap((key) =>
    key.mode === 'minor' ? minorHome : homesOfKey(key.tonic, instrument),
  );
}

/** The lowest fret that a shape stops, where it begins; 0 where it stops none. */
export function begins(frets: Frets): number {
  const stopped = frets.filter((at) => at !== null && at > 0) as number[];
  return stopped.length === 0 ? 0 : Math.min(...stopped);
}

/** What it costs that a shape stands where it does, whole ms. Shapes of open courses alone stand nowhere. */
export function placePrice(frets: Frets, { wish, homes }: HandPlace = usualPlace): number {
  const from = begins(frets);
  if (from === 0) return 0;
  const { perFret, perFretAway, perFretBelow, freeUpTo, aboveSeventh, perFretOutside } = placePrices;
  if (wish !== 'low') {
    const wanted = wish === 'high' ? highHome : wish;
    const outside = Math.max(0, wanted.low - from, from - wanted.high);
    return outside * perFretOutside;
  }
  const away = homes.map(
    ({ low, high }) => Math.max(0, low - from) * perFretBelow + Math.max(0, from - high) * perFretAway,
  );
  const price = Math.max(0, from - freeUpTo) * perFret + (away.length > 0 ? Math.min(...away) : 0);
  return price + (isTooHigh(frets, { wish, homes }) ? aboveSeventh : 0);
}

/** How far above the home of a song a chord's own shape may begin before another form stands in for it, frets. */
const nearHome = 1;

/** Whether a shape lies so near to where the hand is wanted that no other form need stand in for it. */
export function liesNear(frets: Frets, { wish, homes }: HandPlace = usualPlace): boolean {
  const from = begins(frets);
  if (wish === 'low')
    return from > 0 && from <= Math.min(placePrices.freeUpTo, ...homes.map(({ high }) => high + nearHome));
  const wanted = wish === 'high' ? highHome : wish;
  return from >= wanted.low && from <= wanted.high;
}

/** Whether a shape begins higher than a player who keeps low goes, the homes of the song's keys apart. */
export function isTooHigh(frets: Frets, { wish, homes }: HandPlace = usualPlace): boolean {
  const from = begins(frets);
  return (
    wish === 'low' &&
    from > placePrices.highest &&
    !homes.some(({ low, high }) => from >= low && from <= high)
  );
}

/**
 * Reads where a player wants the hand: `low`, `high`, or frets.
 *
 * @example parseHome('5-9') // { ok: true, value: { low: 5, high: 9 } }
 */
export function parseHome(text: string): Outcome<HomeWish> {
  const wanted = text.trim();
  if (wanted === 'low' || wanted === 'high') return good(wanted);
  const match = /^(\d{1,2})\s*-\s*(\d{1,2})$/.exec(wanted);
  const [low, high] = [Number(match?.[1]), Number(match?.[2])];
  if (match && low >= 1 && low < high && high <= 24) return good({ low, high });
  return misread(`${quoted(text)} is not a position on the neck; write low, high, or frets such as 5-9`);
}
