import { exit } from '../exit.js';

/** What is looked at, in the order in which it is told: what matters most first. The names are those of the JSON document. */
export const checkNames = [
  'sound',
  'midi-out',
  'midi-in',
  'terminal',
  'colours',
  'background',
  'signs',
  'settings',
  'charts',
  'config-folder',
  'data-folder',
  'state-folder',
  'microphone',
  'broker',
  'discovery',
  'program',
] as const;

export type CheckName = (typeof checkNames)[number];

/** The result for a thing that was tried. `untried`: it was not, or cannot be. */
export type State = 'works' | 'fails' | 'untried';

/** What is said of one thing. */
export interface Verdict {
  readonly name: CheckName;
  readonly state: State;
  /** What was found: a sentence without its full stop. */
  readonly says: string;
  /** What to do, the same way; `null` where there is nothing to be done. */
  readonly todo: string | null;
  /**
   * What its failing means for the exit status. `one`: of those that say so one must work. `machine`, `input`: it must work, and
   * whose fault it is when it does not. `no`: one can play without it.
   */
  readonly needed: 'one' | 'machine' | 'input' | 'no';
  /** Figures and names, for programs. */
  readonly found: Readonly<Record<string, unknown>>;
}

/** The result of trying something, before it is judged. */
export type Trial<T> =
  | { readonly kind: 'found'; readonly found: T }
  /** It failed: a sentence from the code that tried it. */
  | { readonly kind: 'failed'; readonly why: string }
  /** What tried it ended: a signal, or an exit status. */
  | { readonly kind: 'died'; readonly why: string }
  /** It did not answer within this many seconds. */
  | { readonly kind: 'late'; readonly seconds: number }
  | { readonly kind: 'untried'; readonly why: string };

/** A sentence of the kind `what is wrong; what to do`, taken apart at its first semicolon. */
export function whatAndTodo(sentence: string): { readonly says: string; readonly todo: string | null } {
  const [says = '', ...rest] = sentence.split('; ');
  return { says, todo: rest.length === 0 ? null : rest.join('; ') };
}

/**
 * The verdict on a trial that failed.
 *
 * @param what the thing, as the subject of a sentence: `the sound card`
 * @param instead what to do where nothing better is known
 */
export function notFound(
  base: Pick<Verdict, 'name' | 'needed'>,
  trial: Exclude<Trial<unknown>, { kind: 'found' }>,
  what: string,
  instead: string,
): Verdict {
  const none = { ...base, found: {} };
  switch (trial.kind) {
    case 'untried':
      return { ...none, state: 'untried', ...whatAndTodo(trial.why) };
    case 'late':
      return {
        ...none,
        state: 'fails',
        says: `${what} did not answer within ${trial.seconds} s`,
        todo: `try again with barkline doctor --wait ${Math.min(mostWait, 5 * trial.seconds)}; if it still does not, ${instead}`,
      };
    case 'died':
      return {
        ...none,
        state: 'fails',
        says: `the program that opens ${what} broke off (${trial.why})`,
        todo: instead,
      };
    case 'failed': {
      const { says, todo } = whatAndTodo(trial.why);
      return { ...none, state: 'fails', says, todo: todo ?? instead };
    }
  }
}

/** The longest and the usual time that each thing may take, seconds. */
export const mostWait = 60;
export const usualWait = 2;

/**
 * The exit status: 3 where the machine lacks something that is needed, or neither sound nor MIDI can be heard; else 1 where a file
 * is at fault; else 0. What was not tried does not count.
 */
export function statusOf(verdicts: readonly Verdict[]): number {
  const fails = (needed: Verdict['needed']): boolean =>
    verdicts.some((one) => one.needed === needed && one.state === 'fails');
  if (fails('machine') || !canBeHeard(verdicts)) return exit.machine;
  return fails('input') ? exit.input : exit.done;
}

/** Whether what is played can be heard: through sound or MIDI, or where neither was tried. */
export function canBeHeard(verdicts: readonly Verdict[]): boolean {
  const ways = verdicts.filter(({ needed }) => needed === 'one');
  return ways.some(({ state }) => state === 'works') || ways.every(({ state }) => state === 'untried');
}
