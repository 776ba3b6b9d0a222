import { NotRegular } from './regular.js';

/**
 * Whose fault it is that something could not be written: the name is taken or cannot be one (`call`), somebody forbids it
 * (`forbidden`), or the machine cannot (`machine`).
 */
export type Blame = 'call' | 'forbidden' | 'machine';

/** Something could not be written; nothing of it is left. The message says why, in a few words and without the path. */
export class NotWritten extends Error {
  constructor(
    message: string,
    readonly blame: Blame,
  ) {
    super(message);
  }
}

const words: Readonly<Record<string, readonly [says: string, blame: Blame]>> = {
  EACCES: ['its permissions forbid it', 'forbidden'],
  EPERM: ['its permissions forbid it', 'forbidden'],
  EROFS: ['the disk is read-only', 'forbidden'],
  ENOSPC: ['the disk is full', 'machine'],
  EDQUOT: ['the disk’s quota is used up', 'machine'],
  EFBIG: ['the file would be larger than this system allows', 'machine'],
  EIO: ['the disk has failed', 'machine'],
  EEXIST: ['it already exists', 'call'],
  ENOTDIR: ['part of the path is not a folder', 'call'],
  ENAMETOOLONG: ['its name is too long', 'call'],
  ELOOP: ['it is a link that points to itself', 'call'],
  // Missing folders are made; if that is impossible, the command line is not at fault.
  ENOENT: ['the folder does not exist and cannot be made', 'machine'],
};

/** The error of a writing as `NotWritten`. */
export function notWritten(error: unknown): NotWritten {
  if (error instanceof NotWritten) return error;
  if (error instanceof NotRegular) return new NotWritten(error.message, 'call');
  const { code } = error as NodeJS.ErrnoException;
  const [says, blame] = words[code ?? ''] ?? [code ?? 'for an unknown reason', 'machine'];
  return new NotWritten(says, blame);
}
