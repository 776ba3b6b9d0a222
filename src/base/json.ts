import { escapedText } from './safe-text.js';

/**
 * A value as JSON that holds nothing a terminal would obey: what `JSON.stringify` leaves of control characters (delete, C1) and
 * all marks of direction are written as `\uXXXX`, which reads back the same. `indent`: spaces a level; one line without it.
 */
export function jsonText(value: unknown, indent = 0): string {
  const text = JSON.stringify(value, null, indent);
  // Line feeds are the indentation's own: those of texts are escaped by now.
  return text.split('\n').map(escapedText).join('\n');
}
