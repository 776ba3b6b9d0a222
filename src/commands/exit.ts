export { print, printDocument, printFileText, say } from './print.js';

/** Exit statuses: done; the input is at fault; the command line is; the machine is. */
export const exit = { done: 0, input: 1, call: 2, machine: 3 } as const;

/** The exit status for a file that was not written: a name that is taken or cannot be one is the call's fault, the rest the machine's. */
export function unwrittenStatus(blame: 'call' | 'forbidden' | 'machine'): number {
  return blame === 'call' ? exit.call : exit.machine;
}

/** A command that cannot go on: one line what, one line what to do, and the exit status. */
export class Stop extends Error {
  constructor(
    readonly status: number,
    readonly what: string,
    readonly instead = '',
  ) {
    super(what);
  }
}
