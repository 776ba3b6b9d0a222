/**
 * The answer of everything that reads what a person wrote: a value, or what is wrong with it.
 * Throwing is kept for programming errors.
 */
export type Outcome<T, F = Misread> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly fault: F };

/** What is wrong with a short piece of text: where in it (0-based offset), and one sentence. */
export interface Misread {
  readonly at: number;
  readonly message: string;
}

/** Wraps a good value. */
export function good<T>(value: T): { readonly ok: true; readonly value: T } {
  return { ok: true, value };
}

/** Wraps a fault in a short text: `at` counts characters from its start. */
export function misread(message: string, at = 0): { readonly ok: false; readonly fault: Misread } {
  return { ok: false, fault: { at, message } };
}
