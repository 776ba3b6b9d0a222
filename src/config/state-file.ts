import { rmSync } from 'node:fs';
import { dirname } from 'node:path';
import * as v from 'valibot';
import { readRegular } from './regular.js';
import { notWritten } from './why-not.js';
import { writeWhole } from './write-file.js';

/** A file larger than this was not written by the program, bytes. */
const usualBytes = 1 << 20;

/** Something the program keeps by itself, in a JSON file of its own. */
export interface StateFile<T> {
  /** What is kept; `null` where nothing is, or nothing that can be used. */
  readonly read: () => T | null;
  /** Keeps a value in place of the one before; a sentence where it cannot be kept. */
  readonly write: (value: T) => string | null;
  /** Keeps nothing any more. */
  readonly remove: () => void;
}

/**
 * A file of what the program keeps, of which only what fits the schema is ever read.
 *
 * @param flush whether a value is on the disk as soon as it is written; else a loss of power may lose it
 * @param mostBytes of a longer file nothing is read
 */
export function stateFile<T>(
  path: string,
  schema: v.GenericSchema<unknown, T>,
  { flush = true, mostBytes = usualBytes }: { readonly flush?: boolean; readonly mostBytes?: number } = {},
): StateFile<T> {
  return {
    read: () => {
      try {
        const bytes = readRegular(path, mostBytes);
        if (bytes.length > mostBytes) return null;
        const read = v.safeParse(schema, JSON.parse(new TextDecoder().decode(bytes)));
        return read.success ? read.output : null;
      } catch {
        return null;
      }
    },
    write: (value) => {
      try {
        writeWhole(path, JSON.stringify(value), { over: true, flush });
        return null;
      } catch (error) {
        return `nothing can be saved in ${dirname(path)}: ${notWritten(error).message}`;
      }
    },
    remove: () => {
      try {
        rmSync(path, { force: true });
      } catch {
        // What cannot be removed was most likely never written.
      }
    },
  };
}
