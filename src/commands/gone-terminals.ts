import { closeSync, openSync } from 'node:fs';
import { isatty } from 'node:tty';

/** The standard streams that were terminals at the start. */
const terminals = [0, 1, 2].filter((descriptor) => isatty(descriptor));

/**
 * Puts nothing in the place of standard streams whose terminal has gone (a closed window). At the exit Node puts back
 * the line settings of those that were terminals, and aborts, with a core, when that fails.
 */
export function leaveGoneTerminals(): void {
  for (const descriptor of terminals) {
    if (isatty(descriptor)) continue;
    try {
      // The lowest free descriptor is the one that was just closed.
      closeSync(descriptor);
      openSync('/dev/null', 'r+');
    } catch {
      // It is closed all the same, which is enough.
    }
  }
}
