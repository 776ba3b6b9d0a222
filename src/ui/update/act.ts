import { leads } from '../../band/band.js';
import { released } from '../../playback/release.js';
import { pause } from '../../playback/session.js';
import type { Action } from '../keys/actions.js';
import type { Confirm, Model } from '../state/model.js';
import { leaveBand } from './band/alone.js';
import { backToSet } from './band/back-to-set.js';
import { withoutLead } from './band/meeting.js';
import { backFromHeard, toggleEar } from './ear.js';
import { isRepeated } from './modes/set/set.js';
import { rulesOf } from './modes.js';
import { overlayAction, overlayBack } from './overlays/overlay.js';
import { inTurn, noticed, played, type Step, step } from './step.js';
import { undo } from './undo.js';

/**
 * What releases a held chord, or gives the cue after a stop: what holds a chord, and what a foot switch for turning pages sends
 * as a key. A pedal that was taught to play the section once more still does.
 */
const releasing: Readonly<Record<'key' | 'pedal', readonly Action[]>> = {
  key: ['hold', 'section-on', 'extend'],
  pedal: ['hold', 'section-on'],
};

/** What is asked once more before it is done, by keys that are not for going back. */
const answers: Partial<Readonly<Record<Action, Confirm['what']>>> = {
  'band-leave': 'leave-band',
  'band-out': 'turn-away',
};

/** Within this time a leader asks again to leave those who follow, ms. */
const leaveMs = 3000;

/** Whether going back leaves the program, and others follow it. */
function endsBand({ band, library, mode }: Model): boolean {
  return (
    library === null &&
    mode.kind === 'chart' &&
    band !== null &&
    leads(band.band) &&
    band.band.members.size > 0
  );
}

/** Esc, pressed once too often after a screen that has closed by itself, does not end the band of a leader. */
function leaveLed(model: Model, at: number): Step {
  const { confirm } = model;
  if (confirm?.what === 'leave-band' && at - confirm.at < leaveMs) return act(model, 'leave', at);
  const says = 'Esc again leaves the band: the others play the pass to its end';
  return noticed({ ...model, confirm: { what: 'leave-band', at } }, says);
}

/** What an action does, however it was asked for: a key, a pedal. */
export function act(model: Model, action: Action, at: number, by: 'key' | 'pedal' = 'key'): Step {
  const { mode, overlay } = model;
  const rules = rulesOf(model);
  if (action === 'leave') {
    const leaving = rules.leaving(model, mode, at);
    const alone = inTurn(leaving, (now) => leaveBand(now, at, ''));
    return { ...alone, effects: [...alone.effects, { kind: 'leave' }] };
  }
  if (action === 'suspend') {
    // The shell takes over for a while: what plays is paused first.
    const laid = withoutLead(model, at);
    const paused = inTurn(laid, (now) => played(now, pause(now.session)));
    return { ...paused, effects: [...paused.effects, { kind: 'suspend' }] };
  }
  if (action === 'listen') return toggleEar(model);
  if (action === 'back') {
    if (overlay) return overlayBack(model, overlay);
    if (mode.kind === 'chart' && mode.under) return backToSet(model, mode, mode.under, at);
    if (endsBand(model)) return leaveLed(model, at);
    return backFromHeard(model) ?? rules.back(model, mode, at);
  }
  // A key that must be pressed twice no longer counts once another key was pressed between. In a band the leader gives the cue.
  if (!overlay && mode.kind !== 'follow' && releasing[by].includes(action)) {
    const gone = released(model.session, at);
    if (gone) return played(model, gone);
  }
  const isAnswer = model.confirm !== null && answers[action] === model.confirm.what;
  const asked: Model = model.confirm && !isAnswer ? { ...model, confirm: null } : model;
  if (action === 'take-back') return undo(asked, at);
  return overlay ? overlayAction(asked, overlay, action, at) : rules.act(asked, mode, action, at);
}

/** A key that foot switches send: in a set one that repeats itself is pressed once. */
export function footPressed(model: Model, key: string, action: Action, at: number): Step {
  const { mode, overlay } = model;
  if (mode.kind !== 'set' || overlay) return act(model, action, at);
  const pressed: Model = { ...model, mode: { ...mode, pressed: { key, at } } };
  return isRepeated(mode, key, at) ? step(pressed) : act(pressed, action, at);
}
