import type { ReactNode } from 'react';
import { sittingLines } from '../draw/sitting.js';
import type { Model } from '../state/model.js';
import type { SittingMode } from '../state/modes.js';
import { Lines } from './Lines.js';

/** A sitting between two things to play: what comes and why, a rest, or the results. */
export function SittingScreen({
  model,
  sitting,
}: {
  readonly model: Model;
  readonly sitting: SittingMode;
}): ReactNode {
  return <Lines lines={sittingLines(model, sitting)} model={model} />;
}
