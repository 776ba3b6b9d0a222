import type { ReactNode } from 'react';
import { orderLines } from '../draw/order.js';
import type { Model } from '../model.js';
import { Lines } from './Lines.js';

/** The running order of a set, or the charts for a request. */
export function OrderScreen({ model }: { readonly model: Model }): ReactNode {
  return model.set ? <Lines lines={orderLines(model, model.set)} model={model} /> : null;
}
