import { nearest } from '../base/nearest.js';
import type { Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import { type Key, keyName, majorTonics, minorTonics, parseKey, transposeKey } from '../theory/key.js';
import { pitchClass } from '../theory/pitch.js';

/** A key that a chart goes to: `key` while the chart itself is in `home`. It moves along when the chart is put into another. */
export interface KeyTarget {
  readonly key: Key;
  readonly home: Key;
}

/**
 * The key that is meant while the chart is in `played`: as written in the chart's own key, elsewhere under its usual name.
 *
 * @example keyAt({ key: A, home: G }, C) // D
 */
export function keyAt({ key, home }: KeyTarget, played: Key): Key {
  return transposeKey(key, (((pitchClass(played.tonic) - pitchClass(home.tonic)) % 12) + 12) % 12);
}

/** Reads a key of a chart's bars or form; one that is nearly a key is reported with what was probably meant. */
export function parseTargetKey(text: string): Outcome<Key> {
  const key = parseKey(text);
  if (key.ok) return key;
  const near = nearKey(text.trim());
  if (near === null) return key;
  return { ok: false, fault: { at: 0, message: `${key.fault.message}; did you mean ${quoted(near)}?` } };
}

/** Names of all keys, the usual spelling first. */
const names = [
  ...majorTonics,
  'Gb',
  'C#',
  'D#',
  'G#',
  'A#',
  ...minorTonics.map((tonic) => `${tonic}m`),
  'Bbm',
  'Dbm',
  'D#m',
  'Abm',
  'A#m',
];

/** The key that was probably meant. A single letter is near to all others; `H`, what German speakers call B, is reported. */
function nearKey(text: string): string | null {
  if (/^[Hh](?!b)/.test(text))
    return keyName({ tonic: 'B', mode: /m|-/.test(text.slice(1)) ? 'minor' : 'major' });
  return text.length < 2 ? null : nearest(text, names);
}
