import type { Finger } from './fingering.js';

/** How far apart two fingers can stand along the neck, mm from wire to wire, by the pair's numbers. */
export type Spans = Readonly<Record<'12' | '13' | '14' | '23' | '24' | '34', number>>;

/** A fretting hand: what it reaches, fingers it does without, and which hand it is. */
export interface PlayerHand {
  readonly name: string;
  readonly spans: Spans;
  readonly without: readonly Finger[];
  readonly leftHanded: boolean;
}

/**
 * A hand that reaches what the trade plays on a mandolin. The limits are ours: wide enough for every stock
 * shape there (the widest, a minor chord 6-4-0-2 moved up to 7-5-1-3, takes 97 mm from index to little and 69 from
 * index to ring; the seventh 7-3-2-3, whose little finger stands 61 mm from the ring), and no wider, so that on a long neck shapes that nobody can hold are left out.
 */
export const usualHand: PlayerHand = {
  name: 'usual',
  spans: { '12': 52, '13': 73, '14': 100, '23': 42, '24': 74, '34': 64 },
  without: [],
  leftHanded: false,
};

/** A smaller hand: the usual one's reach, a fifth less. */
export const smallHand: PlayerHand = { ...usualHand, name: 'small', spans: scaled(usualHand.spans, 0.8) };

/** A larger hand: the usual one's reach, a fifth more. */
export const largeHand: PlayerHand = { ...usualHand, name: 'large', spans: scaled(usualHand.spans, 1.2) };

/** Every built-in hand. */
export const hands: readonly PlayerHand[] = [usualHand, smallHand, largeHand];

function scaled(spans: Spans, by: number): Spans {
  return Object.fromEntries(Object.entries(spans).map(([pair, mm]) => [pair, mm * by])) as unknown as Spans;
}

/** How far apart two different fingers of a hand can stand, mm. */
export function spanOf(hand: PlayerHand, one: Finger, other: Finger): number {
  return hand.spans[(one < other ? `${one}${other}` : `${other}${one}`) as keyof Spans];
}
