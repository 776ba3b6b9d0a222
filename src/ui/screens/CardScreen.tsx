import type { ReactNode } from 'react';
import { cardLines } from '../draw/card.js';
import type { Model } from '../state/model.js';
import type { SetMode } from '../state/modes.js';
import { Lines } from './Lines.js';

/** A set between two songs: the card of the next one, a break, what is wrong, the end. */
export function CardScreen({ model, set }: { readonly model: Model; readonly set: SetMode }): ReactNode {
  return <Lines lines={cardLines(model, set)} model={model} />;
}
