import { passView } from '../../playback/pass-view.js';
import { type Session, withSetup } from '../../playback/session.js';
import type { DictationKind } from './figures.js';
import { cadenceBars } from './source.js';

/**
 * From the last beat of the cadence on, after its last chop, only what is asked about sounds: the bass, or the tune. While
 * the cadence gives the key, and where bass and chop are asked about, the session stays as it is.
 */
export function soloedMix(session: Session, asks: DictationKind): Session {
  const { performance } = session;
  if (asks === 'changes' || !performance || !performance.setup.mix.on.chop) return session;
  const { bar, beat, counting } = performance.cursor;
  const last = passView(performance)?.bars[cadenceBars - 1];
  if (counting || beat === null || !last || bar < cadenceBars - 1) return session;
  if (bar === cadenceBars - 1 && beat < last.beats - 1) return session;
  const { mix } = performance.setup;
  return withSetup(session, { mix: { ...mix, on: { ...mix.on, chop: false, bass: asks === 'bass' } } });
}
