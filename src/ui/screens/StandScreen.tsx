import type { ReactNode } from 'react';
import { standLines } from '../draw/stand.js';
import type { Model } from '../state/model.js';
import { Lines } from './Lines.js';

/** A chart on the stand. */
export function StandScreen({ model }: { readonly model: Model }): ReactNode {
  return <Lines lines={standLines(model)} model={model} />;
}
