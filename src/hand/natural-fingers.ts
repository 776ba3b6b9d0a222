import type { Fingering } from './fingering.js';
import { gripMs } from './grip.js';
import type { Instrument } from './instrument.js';
import type { PlayerHand } from './player-hand.js';

/** Fingers that cost at most so much more to hold than the easiest are worth a thought, ms: about what a lift costs twice. */
const nearlyAsEasy = 8;

/** Of all ways to finger one voicing those that a player would take: the easiest to hold, and what is nearly as easy. */
export function natural(
  fingerings: readonly Fingering[],
  instrument: Instrument,
  hand: PlayerHand,
): readonly Fingering[] {
  const grips = fingerings.map(({ frets, fingers }) => gripMs(frets, fingers, instrument, hand));
  const most = Math.min(...grips) + nearlyAsEasy;
  return fingerings.filter((_, index) => (grips[index] as number) <= most);
}
