import type { Model } from '../../state/model.js';
import type { LinePurpose, RequestsOverlay } from '../../state/overlays.js';
import { type Step, step } from '../step.js';

/** Opens a line to be typed; what is in it already is right. */
export function openLine(
  model: Model,
  purpose: LinePurpose,
  label: string,
  text = '',
  behind: RequestsOverlay | null = null,
): Step {
  return step({
    ...model,
    notice: '',
    overlay: { kind: 'line', purpose, label, text, caret: [...text].length, fault: '', behind },
  });
}
