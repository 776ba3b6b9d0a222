import type { Action } from '../keys/actions.js';
import type { Ask } from '../state/asks.js';
import { type Choosing, chosenNow, type History, historyAfter } from '../state/history.js';
import type { Message } from '../state/messages.js';
import type { Model } from '../state/model.js';
import { standMode } from '../state/select.js';
import { withStand } from './step.js';

/** Keys that move the music, or answer, and thereby change things that can also be chosen: a loop of one bar that waits, a ladder's tempo. */
const notChoosing: readonly Action[] = [
  'next-chord',
  'bar-back',
  'bar-on',
  'section-back',
  'section-on',
  'ending',
  'extend',
  'hold',
  'one-pass-more',
  'mark-clean',
  'mark-miss',
  'hear-again',
  'play',
  'back',
];

/** What typed commands choose in one step. */
const askedChoices: readonly Ask['kind'][] = ['tempo', 'loop', 'passes', 'sounds', 'sight'];

/** Keys that go there and back: together they are one run. */
const runs: Partial<Readonly<Record<Action, string>>> = {
  slower: 'tempo',
  faster: 'tempo',
  'share-down': 'share',
  'share-up': 'share',
  'key-down': 'key',
  'key-up': 'key',
  'voice-softer': 'loudness',
  'voice-louder': 'loudness',
};

/** The model with what the player has just chosen in the history of the song, so that it can be taken back. */
export function withHistory(before: Model, after: Model, message: Message): Model {
  const mode = standMode(after);
  const { performance } = after.session;
  if (!mode || !performance) return after;
  const { sight, history } = mode.stand;
  const was = standMode(before);
  // Most steps change nothing that could be chosen.
  const isSame =
    history.seen !== null &&
    was?.stand.sight === sight &&
    was.stand.history === history &&
    before.session.performance?.setup === performance.setup;
  if (isSame) return after;
  const next: History = historyAfter(
    history,
    chosenNow(performance.setup, sight, mode.kind === 'click'),
    choosing(message, before),
  );
  return next === history ? after : { ...after, mode: withStand(mode, { history: next }) };
}

/** What the player did by a message; `null` where it was nothing that chooses. */
function choosing(message: Message, { at, overlay }: Model): Choosing | null {
  switch (message.kind) {
    case 'key-chosen':
    case 'click-chosen':
    case 'pattern-chosen':
    case 'shape-chosen':
    case 'chopped':
      return { run: null, at };
    case 'asked':
      return askedChoices.includes(message.ask.kind) ? { run: null, at: message.at } : null;
    case 'action': {
      const { action } = message;
      if (notChoosing.includes(action)) return null;
      // Each line that is typed, and each voice, is a thing of its own.
      if (action === 'line-done') return { run: null, at: message.at };
      const of = overlay?.kind === 'voices' ? ` ${overlay.chosen}` : '';
      return { run: `${runs[action] ?? action}${of}`, at: message.at };
    }
    default:
      return null;
  }
}
