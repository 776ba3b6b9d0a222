import * as v from 'valibot';
import { jsonText } from '../base/json.js';
import type { Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import type { Topic } from './link.js';
import { bandVersion, type Message, type MessageKind, messageSchemas, mostBytesOf } from './messages.js';

/** Why something is not read: what it was, and a sentence. `version` is worth reporting; the rest is noise or an attack. */
export interface Refusal {
  readonly why: 'topic' | 'size' | 'text' | 'version' | 'content';
  readonly message: string;
}

/** A message as bytes: JSON in UTF-8. */
export function encode(message: Message): Uint8Array {
  return new TextEncoder().encode(jsonText(message));
}

/** The kinds that may be under a topic. */
function kindsAt(topic: Topic): readonly MessageKind[] {
  const [head, , what] = topic;
  if (head === 'lead') {
    if (what === 'clock') return ['answer'];
    return (['claim', 'song', 'set', 'now', 'notes', 'away', 'noted'] as const).filter((one) => one === what);
  }
  if (head === 'who') return ['hello', 'goodbye'];
  if (head === 'clock') return ['question'];
  return (['talk', 'request', 'result'] as const).filter((one) => one === head);
}

const refused = (why: Refusal['why'], message: string): Outcome<never, Refusal> => ({
  ok: false,
  fault: { why, message },
});

/**
 * Reads what came under a topic. It must be of a kind that belongs there, from the stand whose id the topic has, in our version, within
 * its bounds; its texts are made fit for a terminal. Whatever the bytes are, it answers and never throws.
 */
export function decode(topic: Topic, payload: Uint8Array): Outcome<Message, Refusal> {
  const kinds = kindsAt(topic);
  if (kinds.length === 0) return refused('topic', 'the message is empty');
  if (payload.length > Math.max(...kinds.map(mostBytesOf))) return refused('size', 'it is too long');
  let value: unknown;
  try {
    value = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(payload));
  } catch {
    return refused('text', 'it is not JSON in UTF-8');
  }
  if (typeof value !== 'object' || value === null) return refused('content', 'it is not a message');
  const { v: version, kind: named, from } = value as Partial<Record<string, unknown>>;
  if (version !== bandVersion)
    return refused('version', `it is of version ${quoted(String(version))}, where ${bandVersion} is read`);
  const kind = kinds.find((one) => one === named);
  if (kind === undefined || from !== topic[1]) return refused('content', 'it does not belong to this topic');
  const read = v.safeParse(messageSchemas[kind], value);
  return read.success
    ? { ok: true, value: read.output }
    : refused('content', 'its fields are not those of such a message');
}
