import { type Chord, parseChord } from '../../src/theory/chord.js';
import { type Key, parseKey } from '../../src/theory/key.js';
import { type NumberChord, parseNumber } from '../../src/theory/number.js';

/** A key that must read. */
export function key(text: string): Key {
  const outcome = parseKey(text);
  if (!outcome.ok) throw new Error(outcome.fault.message);
  return outcome.value;
}

/** A number that must read. */
export function number(text: string): NumberChord {
  const outcome = parseNumber(text);
  if (!outcome.ok) throw new Error(outcome.fault.message);
  return outcome.value;
}

/** A chord in letters that must read. */
export function chord(text: string): Chord {
  const outcome = parseChord(text);
  if (!outcome.ok) throw new Error(outcome.fault.message);
  return outcome.value;
}

/** Every key that `parseKey` takes: seventeen tonics, major and minor. */
export const everyKey: readonly Key[] = 'C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B'
  .split(' ')
  .flatMap((name) => [key(name), key(`${name}m`)]);
