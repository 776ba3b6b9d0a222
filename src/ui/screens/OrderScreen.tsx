import type { ReactNode } from 'react';
import { orderLines, requestLines } from '../draw/order.js';
import type { Model } from '../state/model.js';
import type { OrderOverlay, RequestsOverlay } from '../state/overlays.js';
import { Lines } from './Lines.js';

/** The running order of a set, or the charts for a request. */
export function OrderScreen({
  model,
  overlay,
}: {
  readonly model: Model;
  readonly overlay: OrderOverlay | RequestsOverlay;
}): ReactNode {
  if (overlay.kind === 'requests') return <Lines lines={requestLines(model, overlay)} model={model} />;
  return model.mode.kind === 'set' ? (
    <Lines lines={orderLines(model, model.mode, overlay)} model={model} />
  ) : null;
}
