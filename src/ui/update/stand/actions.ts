import { onePassMore, sectionAgain, toEnding } from '../../../playback/jumps.js';
import type { Performance } from '../../../playback/performance.js';
import type { Played } from '../../../playback/session.js';
import {
  goTo,
  leafed,
  moveOn,
  nextCountIn,
  playOrPause,
  setLoop,
  toggleLastPass,
} from '../../../playback/transport.js';
import { holdChord } from '../../../playback/vamp.js';
import { transposeKey } from '../../../theory/key.js';
import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import type { StandMode } from '../../state/modes.js';
import { drillOf } from '../../state/select.js';
import { noticed, played, type Step, step } from '../step.js';
import { askedToTune } from '../tuning.js';
import { openOverlay } from './choose.js';
import { openGoTo } from './go-to.js';
import { markPass } from './marks.js';
import { openShapes } from './shapes.js';
import { sightAction } from './sight.js';
import { openShare, setKey, setShare, setTempo, stepShare, tap, tempoStep } from './tempo.js';

/** A key on the stand, in any mode; a key that is not one of the stand's does nothing. */
export function standAction(model: Model, mode: StandMode, action: Action, at: number): Step {
  const { performance } = model.session;
  if (!performance) return openOverlay(model, action) ?? step(model);
  if (action === 'tune') return askedToTune(model);
  const moved = playbackAction(model, mode, performance, action, at);
  if (moved) return played(model, moved);
  return (
    sightAction(model, mode, action) ??
    openOverlay(model, action) ??
    setupAction(model, mode, performance, action, at) ??
    step(model)
  );
}

/** What moves the music, or where it goes. */
function playbackAction(
  { session }: Model,
  mode: StandMode,
  performance: Performance,
  action: Action,
  at: number,
): Played | null {
  const { cursor, setup } = performance;
  switch (action) {
    case 'play':
      return playOrPause(session);
    case 'bar-back':
      return drillOf(mode)?.drill.start.waits ? moveOn(session, -1, at) : goTo(session, cursor.bar - 1, at);
    case 'bar-on':
      return goTo(session, cursor.bar + 1, at);
    case 'section-back':
      return goTo(session, leafed(performance, 'back'), at);
    case 'section-on':
      return goTo(session, leafed(performance, 'on'), at);
    case 'to-start':
      return goTo(session, setup.range?.from ?? 0, at);
    case 'to-end':
      return goTo(session, leafed(performance, 'end'), at);
    case 'next-chord':
      return moveOn(session, 1, at);
    case 'loop-from':
      return setLoop(session, 'from', at);
    case 'loop-to':
      return setLoop(session, 'to', at);
    case 'loop-off':
      return setLoop(session, 'off', at);
    case 'last-pass':
      return toggleLastPass(session, at);
    case 'count-in':
      return nextCountIn(session);
    case 'extend':
      return sectionAgain(session, at);
    case 'ending':
      return toEnding(session, at);
    case 'hold':
      return holdChord(session, at);
    case 'one-pass-more':
      return onePassMore(session, at);
    default:
      return null;
  }
}

/** What changes how it is played, and what is said of it. */
function setupAction(
  model: Model,
  mode: StandMode,
  { setup }: Performance,
  action: Action,
  at: number,
): Step | null {
  switch (action) {
    case 'slower':
      return setTempo(model, setup.bpm - tempoStep);
    case 'faster':
      return setTempo(model, setup.bpm + tempoStep);
    case 'share-down':
      return stepShare(model, setup, -1);
    case 'share-up':
      return stepShare(model, setup, 1);
    case 'share-10':
    case 'share-20':
    case 'share-30':
    case 'share-40':
    case 'share-50':
    case 'share-60':
    case 'share-70':
    case 'share-80':
    case 'share-90':
    case 'share-100':
      return setShare(model, setup, Number(action.slice('share-'.length)));
    case 'share-typed':
      return openShare(model);
    case 'tap':
      return tap(model, mode, setup, at);
    case 'key-down':
      return setKey(model, transposeKey(setup.key, -1));
    case 'key-up':
      return setKey(model, transposeKey(setup.key, 1));
    case 'choose-shape':
      return openShapes(model);
    case 'go-to':
      return openGoTo(model);
    case 'mark-clean':
      return markPass(model, mode, 'clean');
    case 'mark-miss':
      return markPass(model, mode, 'miss');
    // Only a chart that is in a file can be written; its mode handles that.
    case 'edit-bar':
      return noticed(model, 'this bar cannot be written here; edit the file');
    case 'undo':
      return noticed(model, 'no bar was written here, so there is nothing to undo');
    case 'lateness':
      return step(model, { kind: 'tell', message: { kind: 'lateness' } });
    default:
      return null;
  }
}
