import { noticeLine } from '../../src/ui/draw/notice.js';
import type { Model } from '../../src/ui/state/model.js';

/** The line above the keys as text. */
export function drawnNotice(model: Model): string {
  return noticeLine(model, null, 100)
    .map(({ text }) => text)
    .join('');
}
