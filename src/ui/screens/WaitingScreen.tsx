import type { ReactNode } from 'react';
import { waitingLines } from '../draw/band.js';
import type { Model } from '../state/model.js';
import { Lines } from './Lines.js';

/** A stand that follows, before the first song has come. */
export function WaitingScreen({ model }: { readonly model: Model }): ReactNode {
  return <Lines lines={waitingLines(model)} model={model} />;
}
