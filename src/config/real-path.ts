import { createHash } from 'node:crypto';
import { realpathSync } from 'node:fs';
import { resolve } from 'node:path';

/** A file's path with all links followed; as it is where there is no such file. */
export function realPath(file: string): string {
  try {
    return realpathSync(file);
  } catch {
    return resolve(file);
  }
}

/** A name for what is kept about a file, by its real path: 24 hexadecimal digits. */
export function keptName(file: string): string {
  return createHash('sha256').update(realPath(file)).digest('hex').slice(0, 24);
}
