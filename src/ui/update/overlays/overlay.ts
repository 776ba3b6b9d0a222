import type { Action } from '../../keys/actions.js';
import type { Model } from '../../state/model.js';
import type { Overlay } from '../../state/overlays.js';
import { bandAction } from '../band/overlay.js';
import { orderAction } from '../modes/set/order.js';
import { requestAction } from '../modes/set/requests.js';
import { type Step, step } from '../step.js';
import { tuningAction, tuningLeft } from '../tuning.js';
import { lineAction, typedIntoLine } from './line.js';
import { voiceAction } from './voices.js';

/** A key in what is in front of the mode. */
export function overlayAction(model: Model, overlay: Overlay, action: Action, at: number): Step {
  switch (overlay.kind) {
    case 'line':
      return lineAction(model, overlay, action, at);
    case 'voices':
      return voiceAction(model, overlay, action);
    case 'order':
      return model.mode.kind === 'set' ? orderAction(model, model.mode, overlay, action, at) : step(model);
    case 'requests':
      return model.mode.kind === 'set' ? requestAction(model, model.mode, overlay, action) : step(model);
    case 'band':
      return bandAction(model, overlay, action, at);
    case 'tuning':
      return tuningAction(model, overlay, action, at);
    case 'help':
      return action === 'help-page'
        ? step({ ...model, overlay: { ...overlay, page: overlay.page + 1 } })
        : step(model);
    default:
      return step(model);
  }
}

/** One step back: out of a search, to what the overlay was opened from, or to the mode. */
export function overlayBack(model: Model, overlay: Overlay): Step {
  switch (overlay.kind) {
    case 'line':
      return step({ ...model, overlay: overlay.behind });
    case 'requests':
      return step({ ...model, overlay: overlay.order, notice: '' });
    case 'order':
      if (overlay.query === '' || model.mode.kind !== 'set')
        return step({ ...model, overlay: null, notice: '' });
      return step({ ...model, overlay: { ...overlay, query: '', chosen: model.mode.run.at } });
    case 'band':
      return step({ ...model, overlay: overlay.whose ? { ...overlay, whose: false } : null });
    case 'tuning':
      return tuningLeft(model);
    case 'pedals': {
      const { learning } = model.pedals;
      const pedals = { ...model.pedals, learning: null, down: [] };
      return step({ ...model, overlay: null, pedals, notice: learning ? '' : model.notice });
    }
    default:
      return step({ ...model, overlay: null });
  }
}

/** Characters were typed; `null` where the overlay has no use for them. */
export function overlayTyped(model: Model, overlay: Overlay, text: string): Step | null {
  switch (overlay.kind) {
    case 'line':
      return typedIntoLine(model, overlay, text);
    case 'order':
      return step({ ...model, overlay: { ...overlay, query: overlay.query + text, chosen: 0 } });
    case 'requests': {
      const { library } = overlay;
      const searched = { ...library, query: library.query + text, index: 0 };
      return step({ ...model, overlay: { ...overlay, library: searched } });
    }
    default:
      return null;
  }
}
