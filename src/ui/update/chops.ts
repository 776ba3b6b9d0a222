import { choppedTempo, startByChops } from '../../listen/live/start-by-chops.js';
import { withPerformance } from '../../playback/session.js';
import { chopsBegin } from '../state/chops.js';
import type { MessageOf } from '../state/messages.js';
import type { Model } from '../state/model.js';
import { isLed } from '../state/schedule.js';
import { drillOf } from '../state/select.js';
import { rulesOf } from './modes.js';
import { inTurn, played, type Step, step } from './step.js';

/** Chops were heard while nothing plays: begins what they can begin, if anything. */
export function chopped(model: Model, message: MessageOf<'chopped'>): Step {
  const { mode } = model;
  if (!chopsBegin(model)) return step(model);
  // A card of a sitting begins as if by a key: its drill is not loaded yet, and has its own tempo.
  if (mode.kind === 'sitting' && mode.phase === 'card')
    return rulesOf(model).act(model, mode, 'go-on', message.at);
  if (mode.kind !== 'set' || mode.run.phase !== 'card') return begun(model, message);
  const { performance } = model.session;
  // Chops of another tempo begin nothing; the card stays.
  if (!performance || isLed(model, mode) || choppedTempo(performance.setup, message.chops.beat) === null)
    return begun(model, message);
  return inTurn(rulesOf(model).act(model, mode, 'go-on', message.at), (now) =>
    begun({ ...now, session: withPerformance(now.session, { eager: false }) }, message),
  );
}

function begun(model: Model, { chops, late, at }: MessageOf<'chopped'>): Step {
  const drill = drillOf(model.mode);
  const prescribed =
    model.mode.kind === 'sitting' ||
    (drill !== null && (drill.ladder !== null || drill.drill.start.ramp !== undefined));
  return played(model, startByChops(model.session, chops, { late, prescribed }, at));
}
