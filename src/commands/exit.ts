/** Exit statuses: done; the input is at fault; the call is; the machine is. */
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

/** Where text is written to. */
export interface Sink {
  write(text: string): unknown;
}

let results: Sink = process.stdout;
let remarks: Sink = process.stderr;

/** From now on `print` and `say` write there: for what must not wait for a terminal that does not read. */
export function writeThrough(out: Sink, err: Sink): void {
  results = out;
  remarks = err;
}

/** Writes results. A reader that has gone away (`| head`) is no fault. */
export function print(text: string): void {
  results.write(`${text}\n`);
}

/** Writes what went wrong, or is worth knowing, beside the results. */
export function say(text: string): void {
  remarks.write(`${text}\n`);
}
