import type { ReactNode } from 'react';
import { clickLines } from '../draw/click.js';
import type { Model } from '../state/model.js';
import { Lines } from './Lines.js';

/** A click without a song. */
export function BareClickScreen({ model }: { readonly model: Model }): ReactNode {
  return <Lines lines={clickLines(model)} model={model} />;
}
