import { levelsOf } from '../../playback/performance.js';
import type { Session } from '../../playback/session.js';
import { voices } from '../../time/event.js';

/** Why nothing is judged while the program plays the player's part itself. */
export const ownPartSentence =
  'the program plays your own part too, and the microphone cannot tell the two apart: nothing is judged; silence low notes and chops, or calibrate with headphones';

/**
 * Whether the player's own part comes from a loudspeaker too: a microphone would hear it on the beat, whatever the player does. With
 * headphones it is not heard; a program that reads a pipe is not a loudspeaker.
 */
export function isDoubled(
  { link, performance }: Pick<Session, 'link' | 'performance'>,
  headphones: boolean,
): boolean {
  const kind = link.out?.kind;
  if (!performance || performance.tuning || headphones) return false;
  if (kind !== 'sound' && kind !== 'midi' && kind !== 'virtual') return false;
  const levels = levelsOf(performance);
  return (['low', 'chop'] as const).some((voice) => (levels[voices.indexOf(voice)] ?? 0) > 0);
}
