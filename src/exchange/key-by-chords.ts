import type { Place } from '../chart/chart.js';
import { type Chord, chordTones } from '../theory/chord.js';
import { type Key, keyName, sameKey } from '../theory/key.js';
import { pitchClass } from '../theory/pitch.js';
import type { Remark, SheetBar } from './lead-sheet.js';
import { keyInMode, keyOfSignature } from './modes.js';

/** A place where a source has a signature without a mode, or says that there is no key. */
export interface OpenKey {
  /** The bar from which on it holds, from 0. */
  readonly bar: number;
  /** The number of sharps, negative for flats; `null` if there is no signature either. */
  readonly fifths: number | null;
  readonly place: Place;
}

/** What was decided: the key at the head, and the bars with theirs. */
interface Decided {
  readonly key: Key;
  readonly bars: readonly SheetBar[];
  readonly remarks: readonly Remark[];
}

/**
 * Decides keys that the source leaves open by the last chord they hold for: a tune ends at home. A signature is the major or
 * the minor key that has it; one that says no more than the one before goes on with it. Each is reported.
 */
export function keysByChords(key: Key, bars: readonly SheetBar[], open: readonly OpenKey[]): Decided {
  if (open.length === 0) return { key, bars, remarks: [] };
  const remarks: Remark[] = [];
  const decided = [...bars];
  let head = key;
  let held: Key | null = open.some(({ bar }) => bar === 0) ? null : key;
  const byBar = new Map(open.map((one) => [one.bar, one]));
  bars.forEach((bar, index) => {
    const one = byBar.get(index);
    if (!one) {
      held = bar.key ?? held;
      return;
    }
    let next = index + 1;
    while (next < bars.length && bars[next]?.key === null) next += 1;
    const last = lastChord(bars.slice(index, next));
    const { found, why } = decide(one.fifths, last, held);
    if (why !== null) remarks.push({ place: one.place, message: why });
    if (index === 0) head = found;
    held = found;
    decided[index] = { ...bar, key: found };
  });
  return { key: head, bars: decided, remarks };
}

function lastChord(bars: readonly SheetBar[]): Chord | null {
  for (let index = bars.length - 1; index >= 0; index -= 1) {
    const chord = bars[index]?.chords.findLast((one) => one.chord !== null)?.chord;
    if (chord) return chord;
  }
  return null;
}

function decide(
  fifths: number | null,
  last: Chord | null,
  held: Key | null,
): { found: Key; why: string | null } {
  const end = last && endKey(last);
  const ending = end && `its last chord, ${keyName(end)}`;
  if (fifths === null) {
    const found = end ?? held ?? { tonic: 'C', mode: 'major' };
    return {
      found,
      why: `no key is named; ${keyName(found)} is assumed${end ? ', because of the last chord' : ''}`,
    };
  }
  const major = keyOfSignature(fifths, 'major')?.key ?? { tonic: 'C', mode: 'major' };
  const minor = keyOfSignature(fifths, 'minor')?.key ?? { tonic: 'A', mode: 'minor' };
  const goesOn = held && [major, minor].find((one) => sameKey(one, held));
  if (goesOn) return { found: goesOn, why: null };
  const both = `the key signature can be ${keyName(major)} or ${keyName(minor)}`;
  const match = end && [major, minor].find((one) => sameKey(one, end));
  if (match) return { found: match, why: `${both}; ${keyName(match)} is assumed, because of the last chord` };
  const found = held?.mode === 'minor' ? minor : major;
  return {
    found,
    why: `${both}; ${keyName(found)} is assumed${ending ? `, though ${ending}, is neither` : ''}`,
  };
}

/** The key that a chord is the first of: minor where its third is. */
function endKey(chord: Chord): Key | null {
  const third = ((((chordTones(chord)[1] ?? 0) - pitchClass(chord.root)) % 12) + 12) % 12;
  return keyInMode(chord.root, third === 3 ? 'minor' : 'major')?.key ?? null;
}
