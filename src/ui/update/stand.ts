import { transposeKey } from '../../theory/key.js';
import type { Action } from '../keymap.js';
import type { Model, Updated } from '../model.js';
import { openEntry } from './entry.js';
import { openBar, takeBack } from './pencil.js';
import { markLater } from './run.js';
import { openShapes } from './shapes.js';
import { markPass } from './shed.js';
import { sightAction } from './sight.js';
import { takingAction } from './taking.js';
import { setKey, setTempo, stepShare, tap, tempoStep } from './tempo.js';
import { goTo, leafed, moveOn, nextCountIn, playOrPause, setLastPass, setLoop } from './transport.js';
import { tune } from './tuning.js';
import { cutToEnding, extend, oneMorePass, vamp } from './turns.js';

/** A key on the stand. */
export function standAction(model: Model, action: Action, at: number): Updated {
  const { stand } = model;
  if (!stand) return { model, effects: [] };
  const taking = takingAction(model, stand, action);
  if (taking) return taking;
  switch (action) {
    case 'play':
      return playOrPause(model, stand);
    case 'bar-back':
      if (stand.drill?.start.waits) return moveOn(model, stand, -1, at);
      return goTo(model, stand, stand.cursor.bar - 1, at);
    case 'bar-on':
      return goTo(model, stand, stand.cursor.bar + 1, at);
    case 'section-back':
      return goTo(model, stand, leafed(stand, 'back'), at);
    case 'section-on':
      return goTo(model, stand, leafed(stand, 'on'), at);
    case 'to-start':
      return goTo(model, stand, stand.range?.from ?? 0, at);
    case 'to-end':
      return goTo(model, stand, leafed(stand, 'end'), at);
    case 'go-to':
      return openEntry(model, 'go-to', 'to bar or section');
    case 'loop-from':
      return setLoop(model, stand, 'from', at);
    case 'loop-to':
      return setLoop(model, stand, 'to', at);
    case 'loop-off':
      return setLoop(model, stand, 'off', at);
    case 'slower':
      return setTempo(model, stand, stand.bpm - tempoStep);
    case 'faster':
      return setTempo(model, stand, stand.bpm + tempoStep);
    case 'share-down':
      return stepShare(model, stand, -1);
    case 'share-up':
      return stepShare(model, stand, 1);
    case 'tap':
      return tap(model, stand, at);
    case 'key-down':
      return setKey(model, transposeKey(stand.key, -1));
    case 'key-up':
      return setKey(model, transposeKey(stand.key, 1));
    case 'last-pass':
      return setLastPass(model, stand, at);
    case 'count-in':
      return nextCountIn(model, stand);
    case 'tune':
      return tune(model, stand);
    case 'far':
    case 'layout':
    case 'names':
    case 'hide-hand':
    case 'hide-ahead':
    case 'peek':
      return sightAction(model, stand, action);
    case 'choose-shape':
      return openShapes(model, stand);
    case 'edit-bar':
      return openBar(model, stand);
    case 'take-back':
      return takeBack(model, stand);
    case 'choose-drill':
      return stand.arrangement
        ? { model: { ...model, panel: 'drills', highlight: Math.floor(at) }, effects: [] }
        : { model, effects: [] };
    case 'mark-clean':
      return markPass(model, stand, 'clean', at);
    case 'mark-miss':
      return markPass(model, stand, 'miss', at);
    case 'next-chord':
      return moveOn(model, stand, 1, at);
    case 'late-calls':
      return sightAction(model, stand, action);
    case 'extend':
      return extend(model, stand, at);
    case 'ending':
      return cutToEnding(model, stand, at);
    case 'hold':
      return vamp(model, stand, at);
    case 'one-pass-more':
      return oneMorePass(model, stand, at);
    case 'mark-later':
      return markLater(model, stand);
    case 'lateness':
      return { model, effects: [{ kind: 'tell', message: { kind: 'lateness' } }] };
    default:
      return { model, effects: [] };
  }
}
