import type { Session } from '../../playback/session.js';
import type { Model } from './model.js';
import { drillOf } from './select.js';

/**
 * The session as a band has it. A song that is being written down, and changes that are named by ear, belong to the player alone: anybody
 * who saw the chart could read the answers from it, and questions for one ear are not music for the others. With those on the stand there is nothing to
 * follow, and the others keep the song that was there before.
 */
export function sharedSession({ mode, session }: Pick<Model, 'mode' | 'session'>): Session {
  const isOwn = mode.kind === 'transcribe' || (drillOf(mode)?.dictation ?? null) !== null;
  return isOwn ? { ...session, performance: null } : session;
}
