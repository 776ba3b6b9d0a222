import { actionsAt } from '../keys/bindings.js';
import { placeOf } from '../keys/place.js';
import { placeWords } from '../keys/place-words.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import { drillOf } from '../state/select.js';
import type { Order, OrderStep, Reading, Talk } from './order.js';
import { withoutKeys } from './spoken.js';
import { nothing } from './tables/playing.js';

/** What carries commands out: the program's state, and how it is waited for. Times in ms. */
export interface Obeying {
  readonly model: () => Model;
  readonly dispatch: (message: Message) => void;
  /** Calls back after every change; returns how to stop that. */
  readonly watch: (look: () => void) => () => void;
  /** Resolves when what was asked for of files and plans has come. */
  readonly quiet: () => Promise<void>;
  /** Resolves when that holds, or after a bounded time. */
  readonly until: (holds: (model: Model) => boolean) => Promise<void>;
  /** The list of charts, or a sentence on why there is none. */
  readonly library: () => Extract<Message, { kind: 'library' }> | string;
}

/** The lines that answer a command, and how much is said by itself from now on, where it says so. */
export interface Answered {
  readonly lines: readonly string[];
  readonly talk?: Talk;
}

/** So many things can stand in front of one another. */
const mostOverlays = 5;

/** Carries a typed line out at the time at which it was typed, by the rules that keys follow, and answers it. */
export async function obey(reading: Reading, at: number, host: Obeying): Promise<Answered> {
  if (!reading.ok) return { lines: [reading.fault] };
  const { order, word } = reading;
  const isOffered = offered(word, host.model());
  if (isOffered !== '') return { lines: [isOffered] };
  if (!order.stays) closeAll(host, at);
  if (order.lists && !host.model().library) {
    const library = host.library();
    if (typeof library === 'string') return { lines: [library] };
    host.dispatch({ kind: 'asked', ask: { kind: 'library', library: library.library }, at });
  }
  host.dispatch({ kind: 'asked', ask: { kind: 'fresh' }, at });
  const before = host.model();
  let said = '';
  let sent = before;
  const hear = (): void => {
    said = host.model().notice || said;
  };
  const hearSent = (): void => {
    sent = host.model();
    hear();
  };
  // What is said of a command may be gone again, by music that begins, before the command is finished.
  const unwatch = host.watch(hear);
  for (const step of order.steps) await take(step, at, host, hearSent);
  unwatch();
  const after = host.model();
  const lines = answerOf(order, { before, after, sent }, withoutKeys(said));
  if (!order.stays) closeAll(host, at);
  return { lines, ...(order.talk ? { talk: order.talk } : {}) };
}

async function take(step: OrderStep, at: number, host: Obeying, hearSent: () => void): Promise<void> {
  for (const message of step.send(host.model(), at)) {
    host.dispatch(message);
    hearSent();
  }
  await host.quiet();
  if (step.until) await host.until(step.until);
}

function answerOf(
  order: Order,
  { before, after, sent }: Readonly<Record<'before' | 'after' | 'sent', Model>>,
  said: string,
): readonly string[] {
  const told = order.answer ? order.answer(before, after, said, sent) : said;
  const lines = typeof told === 'string' ? [told === '' ? 'done' : told] : told;
  const unsaved = after.overlay?.kind === 'line' && after.overlay.purpose.kind === 'save-as';
  return unsaved ? [`${lines.join(' ')}; save NAME keeps it among your own charts`] : lines;
}

/** Why a command does nothing here; empty where it does. */
function offered(
  { name, actions, anywhere, reveals }: Extract<Reading, { ok: true }>['word'],
  model: Model,
): string {
  const place = placeOf({ mode: model.mode, overlay: null });
  const dictation = drillOf(model.mode)?.dictation;
  if (reveals && dictation && dictation.phase === 'asking')
    return `${name}: what is asked by ear is not said before the phrase is over`;
  if (anywhere || actions.length === 0 || actions.some((action) => actionsAt(place).has(action))) return '';
  return place === 'library' ? nothing : `${name} does nothing here (${inLine(placeWords[place])})`;
}

/** A heading within a sentence. */
function inLine(heading: string): string {
  return `${heading.charAt(0).toLowerCase()}${heading.slice(1)}`;
}

/** What stands in front is left: a command says all that it wants. */
function closeAll({ model, dispatch }: Obeying, at: number): void {
  for (let left = mostOverlays; left > 0 && model().overlay; left -= 1)
    dispatch({ kind: 'action', action: 'back', at });
}
