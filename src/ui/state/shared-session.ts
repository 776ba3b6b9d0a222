import type { Session } from '../../playback/session.js';
import type { Model } from './model.js';
import { drillOf } from './select.js';

/**
 * The session as a band has it. A recording that is taken down, and changes that are named by ear, are nobody's but the player's: whoever
 * saw the chart would read the answers off it, and what is asked of one ear is no music for the others. With those on the stand there is nothing to
 * follow, and the others keep the song that was there before.
 */
export function sharedSession({ mode, session }: Pick<Model, 'mode' | 'session'>): Session {
  const isOwn = mode.kind === 'transcribe' || (drillOf(mode)?.dictation ?? null) !== null;
  return isOwn ? { ...session, performance: null } : session;
}
