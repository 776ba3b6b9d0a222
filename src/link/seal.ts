import { createHmac, timingSafeEqual } from 'node:crypto';
import type { Topic } from '../band/link.js';

/*
 * A sealed payload: one byte that says which sealing (1), sixteen of the keyed digest, then the payload. The digest is HMAC with
 * SHA-256 (RFC 2104, FIPS 198-1), cut to its left half, as RFC 2104 section 5 permits. It covers the topic, so that a payload cannot be put under
 * another one. The same payload sent again verifies again; the sequence numbers in the messages, which the digest covers, show that.
 */
const version = 1;
const digestBytes = 16;

/** How much longer a sealed payload is, bytes. */
export const sealBytes = 1 + digestBytes;

function digestOf(key: Uint8Array, topic: Topic, payload: Uint8Array): Buffer {
  // A level holds no line feed, and the lengths are included, so that no two pairs of topic and payload are read as the same bytes.
  const head = `barkline ${version}\n${topic.length}\n${topic.join('\n')}\n${payload.length}\n`;
  return createHmac('sha256', key).update(head).update(payload).digest().subarray(0, digestBytes);
}

/** The payload with its keyed digest in front, for this topic alone. */
export function sealed(key: Uint8Array, topic: Topic, payload: Uint8Array): Buffer {
  return Buffer.concat([Uint8Array.of(version), digestOf(key, topic, payload), payload]);
}

/** What was sealed, as a view of the same bytes; `null` for what was not sealed with this key for this topic. Compares in constant time. */
export function unsealed(key: Uint8Array, topic: Topic, bytes: Uint8Array): Uint8Array | null {
  if (bytes.length < sealBytes || bytes[0] !== version) return null;
  const payload = bytes.subarray(sealBytes);
  return timingSafeEqual(bytes.subarray(1, sealBytes), digestOf(key, topic, payload)) ? payload : null;
}
