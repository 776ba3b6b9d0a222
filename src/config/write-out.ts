import type { Blame } from './why-not.js';
import { notWritten } from './why-not.js';
import { writeWhole } from './write-file.js';

/** Why a file was not written: a sentence, and whose fault it is. */
export interface Refusal {
  readonly reason: string;
  readonly blame: Blame;
}

/**
 * Writes a file for the user, or leaves everything as it was and answers why.
 *
 * @param force whether it may take the place of a file that is there
 * @param flush whether it is on the disk when this is done; of a thousand files that can be made again, waiting for the disk each
 * time takes longer than all the rest
 */
export function writeOut(
  path: string,
  content: string | Uint8Array,
  force: boolean,
  flush = true,
): Refusal | null {
  try {
    writeWhole(path, content, { over: force, flush });
    return null;
  } catch (error) {
    const { message, blame } = notWritten(error);
    if (message === 'it already exists')
      return { reason: `${path} already exists; use --force to overwrite it`, blame };
    return { reason: `${path} cannot be written: ${message}`, blame };
  }
}
