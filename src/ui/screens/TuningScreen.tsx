import type { ReactNode } from 'react';
import { tuningLines } from '../draw/tuning.js';
import type { Model } from '../state/model.js';
import type { TuningOverlay } from '../state/overlays.js';
import { Lines } from './Lines.js';

/** The courses as they are tuned. */
export function TuningScreen({
  model,
  overlay,
}: {
  readonly model: Model;
  readonly overlay: TuningOverlay;
}): ReactNode {
  return <Lines lines={tuningLines(model, overlay)} model={model} />;
}
