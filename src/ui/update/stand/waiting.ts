import type { HeldStroke } from '../../../listen/live/held-chord.js';
import { moveOn } from '../../../playback/transport.js';
import type { Model } from '../../state/model.js';
import { inTurn, played, type Step, step } from '../step.js';
import { type Practising, withPlay } from './rungs.js';

/** A chord that waits was heard clean when this many strokes of several courses in a row were surely the chord, and stopped. */
const strokesInRow = 2;

/**
 * Where each chord waits for the player: a stroke was heard. Two chops in a row that were surely the chord, each stopped, lead on to the
 * next. One that was another chord, or rang on, begins the count again; one of which that is not sure counts neither way, and low notes do not count.
 * Upstrokes count as chops, which may sound like them; but they may ring.
 */
export function heldStroke<M extends Practising>(
  model: Model,
  mode: M,
  { bar, stroke, isChord, isStopped }: HeldStroke,
  at: number,
): Step {
  const { performance } = model.session;
  const range = performance?.setup.range ?? null;
  // After the next chord was asked for, what is heard until it comes is still the one before.
  if (!mode.play.drill.start.waits || performance?.cursor.bar !== bar || range?.from !== bar)
    return step(model);
  if (stroke === 'low') return step(model);
  const before = mode.play.held?.bar === bar ? mode.play.held.strokes : 0;
  const isWrong = isChord === false || (isStopped === false && stroke === 'chop');
  const strokes = isWrong ? 0 : before + (isChord && isStopped ? 1 : 0);
  const isClean = strokes >= strokesInRow;
  const next: Model = { ...model, mode: withPlay(mode, { held: isClean ? null : { bar, strokes } }) };
  return isClean ? inTurn(step(next), (now) => played(now, moveOn(now.session, 1, at))) : step(next);
}
