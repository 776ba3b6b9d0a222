import type { Action } from '../keys/actions.js';
import type { Ask } from '../state/asks.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';

/** How much is said by itself while the music runs: each bar, only bars in which something changes, nothing. */
export const talkKinds = ['everything', 'changes', 'nothing'] as const;
export type Talk = (typeof talkKinds)[number];

/** A part of what a command does: messages, made from the model as it is by then. `at` is the time, ms. */
export interface OrderStep {
  readonly send: (model: Model, at: number) => readonly Message[];
  /** Where the answer comes from another process: what tells that it is there. */
  readonly until?: (model: Model) => boolean;
}

/** What a typed line asks for. */
export interface Order {
  readonly steps: readonly OrderStep[];
  /** The answer, one line, or a list whose first line says how many follow; without it, what the stand says itself. `said`: that; `sent`: the model
   * after the last message, before what it led to. */
  readonly answer?: (before: Model, after: Model, said: string, sent: Model) => string | readonly string[];
  /** A list stays open after it: the next command is for that list. */
  readonly stays?: boolean;
  /** A list of charts is needed. */
  readonly lists?: boolean;
  /** From now on so much is said by itself. */
  readonly talk?: Talk;
}

/** A line read: what it asks for, or a sentence on what is wrong with it. */
export type Reading =
  | { readonly ok: true; readonly order: Order; readonly word: Word }
  | { readonly ok: false; readonly fault: string };

/** Headings of `help`, in their order. */
export const groups = [
  'playing',
  'place',
  'tempo and key',
  'what sounds',
  'what is announced',
  'the chart',
  'practice',
  'charts and sets',
  'a band',
] as const;

/** A command that can be typed. */
export interface Word {
  /** How it begins: one word, or several. */
  readonly name: string;
  /** Other beginnings that mean the same. */
  readonly also?: readonly string[];
  /** What comes after it, as help shows it; absent where nothing does. */
  readonly takes?: string;
  readonly says: string;
  readonly group: (typeof groups)[number];
  /** The keys' actions that it stands for: where no key offers one of them, the command does nothing either. */
  readonly actions: readonly Action[];
  /** It holds wherever a chart is shown, as pedals do, whatever keys there are. */
  readonly anywhere?: boolean;
  /** It tells of the chart what is not to be known while changes are named by ear. */
  readonly reveals?: boolean;
  /** What the words after it ask for; a text is a sentence on what is wrong with them. */
  readonly read: (rest: string) => Order | string;
}

/** Nothing is done, and something told. */
export function telling(answer: NonNullable<Order['answer']>, order: Partial<Order> = {}): Order {
  return { steps: [], answer, ...order };
}

/** An order of one action, as a key asks for it. */
export function pressing(action: Action, answer?: Order['answer']): Order {
  return { steps: [press(action)], ...(answer ? { answer } : {}) };
}

/** A step that presses a key. */
export function press(action: Action): OrderStep {
  return { send: (_, at) => [{ kind: 'action', action, at }] };
}

/** An order that asks in one word. */
export function asking(ask: (model: Model) => Ask | null, answer?: Order['answer']): Order {
  const send: OrderStep['send'] = (model, at) => {
    const wanted = ask(model);
    return wanted ? [{ kind: 'asked', ask: wanted, at }] : [];
  };
  return { steps: [{ send }], ...(answer ? { answer } : {}) };
}

/** Fills the line that is open, and says that it is done. */
export function fill(text: string): readonly OrderStep[] {
  return [
    {
      send: ({ overlay }, at) => {
        if (overlay?.kind !== 'line') return [];
        const erased = [...overlay.text].map(
          () => ({ kind: 'action', action: 'line-erase', at }) as const satisfies Message,
        );
        return [{ kind: 'action', action: 'line-end', at }, ...erased, { kind: 'typed', text }];
      },
    },
    {
      send: ({ overlay }, at) =>
        overlay?.kind === 'line' ? [{ kind: 'action', action: 'line-done', at }] : [],
    },
  ];
}

/** A whole number of at most four figures; `null` for anything else. */
export function wholeOf(text: string): number | null {
  return /^\d{1,4}$/.test(text) ? Number(text) : null;
}

/** A command that takes nothing, or says so. */
export function alone(order: () => Order): Word['read'] {
  return (rest) => (rest === '' ? order() : 'this command takes nothing after it');
}
