import type { Finger } from './fingering.js';
import { type PlayerHand, spanOf } from './player-hand.js';

const known = new WeakMap<PlayerHand, Float64Array>();

/** How far apart two fingers of a hand stand at most, mm, by `5 · one + other`; nothing for a finger and itself. */
export function handReach(hand: PlayerHand): Float64Array {
  const found = known.get(hand);
  if (found) return found;
  const made = new Float64Array(25);
  for (const one of [1, 2, 3, 4] as Finger[])
    for (const other of [1, 2, 3, 4] as Finger[])
      if (one !== other) made[5 * one + other] = spanOf(hand, one, other);
  known.set(hand, made);
  return made;
}
