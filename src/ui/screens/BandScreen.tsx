import type { ReactNode } from 'react';
import { bandLines } from '../draw/band/band-lines.js';
import type { Model } from '../state/model.js';
import type { BandOverlay } from '../state/overlays.js';
import { Lines } from './Lines.js';

/** The band: who is there, what is asked for, what can be said. */
export function BandScreen({
  model,
  overlay,
}: {
  readonly model: Model;
  readonly overlay: BandOverlay;
}): ReactNode {
  return <Lines lines={bandLines(model, overlay)} model={model} />;
}
