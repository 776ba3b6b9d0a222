import stringWidth from 'string-width';
import { safeText } from './safe-text.js';

/** Characters of one column each. Most of what is drawn has only these, and counting them is a hundred times faster than looking up widths. */
const narrow =
  /^[\u0020-\u007e\u00a1-\u00ac\u00ae-\u02ff\u2010-\u2027\u2070-\u209c\u2190-\u21ff\u2219\u2500-\u25ff\u2660-\u266f]*$/;

/** Columns a text takes on the screen, where what would control it is shown as a sign. */
export function textWidth(text: string): number {
  return narrow.test(text) ? text.length : stringWidth(safeText(text));
}
