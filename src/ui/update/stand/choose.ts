import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import type { Overlay } from '../../state/overlays.js';
import { noticed, type Step, step } from '../step.js';

const overlays: Partial<Readonly<Record<Action, Overlay>>> = {
  help: { kind: 'help', page: 0 },
  'choose-key': { kind: 'keys' },
  'choose-click': { kind: 'click' },
  'choose-pattern': { kind: 'patterns' },
  'choose-voices': { kind: 'voices', chosen: 0 },
  'choose-pedals': { kind: 'pedals' },
  band: { kind: 'band', chosen: 0, whose: false },
  'choose-output': { kind: 'outputs', destinations: null },
};

/** Opens a list or text in front of the stand; `null` where the action opens none. */
export function openOverlay(model: Model, action: Action): Step | null {
  const overlay = overlays[action];
  if (!overlay) return null;
  if (overlay.kind === 'band' && !model.bandAs) return noticed(model, 'a band cannot be joined from here');
  const chosen = overlay.kind === 'voices' ? { ...overlay, chosen: model.voice } : overlay;
  const opened: Model = { ...model, overlay: chosen };
  return overlay.kind === 'outputs'
    ? step(opened, { kind: 'tell', message: { kind: 'list' } })
    : step(opened);
}
