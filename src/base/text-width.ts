import stringWidth from 'string-width';
import { safeText } from './safe-text.js';

/** Characters that take one column each; most of what is drawn is of them, and counting them is a hundred times faster than looking them up. */
const narrow =
  /^[\u0020-\u007e\u00a1-\u00ac\u00ae-\u02ff\u2010-\u2027\u2070-\u209c\u2190-\u21ff\u2219\u2500-\u25ff\u2660-\u266f]*$/;

/** Columns a text takes on the screen, where what would control it is shown as a sign. */
export function textWidth(text: string): number {
  return narrow.test(text) ? text.length : stringWidth(safeText(text));
}
