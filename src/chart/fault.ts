import type { Place } from './chart.js';

/** Something wrong with a file, in one sentence: what was found and what would be right. */
export interface Fault extends Place {
  readonly severity: 'error' | 'warning';
  readonly message: string;
}

/** How many more faults there are that are only counted. */
export interface Untold {
  readonly errors: number;
  readonly warnings: number;
}

/** The most faults of a file that are reported one by one; the rest is counted. */
export const mostTold = 100;

/** A fault's sentence, or how it is put together: a file can have hundreds of thousands, and only the first need a sentence. */
type Words = string | (() => string);

interface Held extends Place {
  readonly severity: Fault['severity'];
  readonly message: Words;
}

/** Collects faults while a file is read, so that all of them are reported at once. */
export class Faults {
  private readonly held: Held[] = [];
  private errors = 0;

  error(place: Place, message: Words): void {
    this.add({ severity: 'error', message, line: place.line, column: place.column });
  }

  warning(place: Place, message: Words): void {
    this.add({ severity: 'warning', message, line: place.line, column: place.column });
  }

  add(fault: Held): void {
    this.held.push(fault);
    if (fault.severity === 'error') this.errors += 1;
  }

  get failed(): boolean {
    return this.errors > 0;
  }

  get count(): number {
    return this.held.length;
  }

  /** Every fault in the order in which they were found. */
  get list(): readonly Fault[] {
    return this.held.map(worded);
  }

  /** The first faults in the order of the file; where it has an error, one is among them. */
  sorted(): readonly Fault[] {
    const sorted = [...this.held].sort((one, other) => one.line - other.line || one.column - other.column);
    const shown = sorted.slice(0, mostTold);
    const error = shown.some(isError) ? undefined : sorted.find(isError);
    if (error) shown[shown.length - 1] = error;
    return shown.map(worded);
  }

  /** The result for a file that cannot be read. */
  refused(): Extract<Reading<never>, { ok: false }> {
    const faults = this.sorted();
    return { ok: false, faults, ...this.beyond(faults) };
  }

  /** The result for a file that was read: the value, or only its faults if one of them is an error. */
  with<T>(value: T): Reading<T> {
    if (this.failed) return this.refused();
    const faults = this.sorted();
    return { ok: true, value, faults, ...this.beyond(faults) };
  }

  private beyond(told: readonly Fault[]): { readonly untold?: Untold } {
    if (told.length === this.held.length) return {};
    const errors = this.errors - told.filter(isError).length;
    return { untold: { errors, warnings: this.held.length - told.length - errors } };
  }
}

function isError({ severity }: Pick<Held, 'severity'>): boolean {
  return severity === 'error';
}

function worded({ message, ...fault }: Held): Fault {
  return { ...fault, message: typeof message === 'string' ? message : message() };
}

/** A value with the warnings about it, or the faults (errors and warnings) that forbid it; `untold` where there are more. */
export type Reading<T> =
  | { readonly ok: true; readonly value: T; readonly faults: readonly Fault[]; readonly untold?: Untold }
  | { readonly ok: false; readonly faults: readonly Fault[]; readonly untold?: Untold };
