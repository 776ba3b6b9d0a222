import { passView } from '../../src/playback/pass-view.js';
import type { HandView } from '../../src/ui/draw/hand-pane.js';
import { noticeLine } from '../../src/ui/draw/notice.js';
import { handView } from '../../src/ui/draw/stand-views.js';
import type { Model } from '../../src/ui/state/model.js';
import { standView } from '../../src/ui/state/select.js';

/** The line above the keys as text. */
export function drawnNotice(model: Model): string {
  return noticeLine(model, null, 100)
    .map(({ text }) => text)
    .join('');
}

/** What the hand beside the chart is drawn from. */
export function shownHand(model: Model): HandView {
  const shown = standView(model);
  const view = shown && passView(shown.performance);
  if (!shown || !view) throw new Error('no stand is shown');
  return handView(model, shown, view);
}
