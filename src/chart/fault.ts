import type { Place } from './chart.js';

/** Something wrong with a file, in one sentence: what was found and what would be right. */
export interface Fault extends Place {
  readonly severity: 'error' | 'warning';
  readonly message: string;
}

/** Collects faults while a file is read, so that all of them are told at once. */
export class Faults {
  readonly list: Fault[] = [];

  error(place: Place, message: string): void {
    this.list.push({ severity: 'error', message, line: place.line, column: place.column });
  }

  warning(place: Place, message: string): void {
    this.list.push({ severity: 'warning', message, line: place.line, column: place.column });
  }

  get failed(): boolean {
    return this.list.some((fault) => fault.severity === 'error');
  }

  /** The faults in the order of the file. */
  sorted(): readonly Fault[] {
    return [...this.list].sort((one, other) => one.line - other.line || one.column - other.column);
  }
}

/** A value with the warnings about it, or the faults (errors and warnings) that forbid it. */
export type Reading<T> =
  | { readonly ok: true; readonly value: T; readonly faults: readonly Fault[] }
  | { readonly ok: false; readonly faults: readonly Fault[] };
