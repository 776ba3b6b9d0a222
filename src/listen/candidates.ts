import type { ExpectedChord, ExpectedStroke } from './expected.js';

/** A chord that a stroke may be, for the chord's ear: what it is there, its notes (MIDI, bass side first), and its pitch classes, root first. */
export interface CandidateChord {
  readonly id: string;
  readonly notes: readonly number[];
  readonly pitchClasses: readonly number[];
  readonly role: 'expected' | 'before' | 'after' | 'other';
}

/**
 * The chords that a stroke of the pass may be, each once: the expected one, the ones before and after it, and all others of the pass. A pass
 * repeats: before its first chord comes its last.
 */
export function candidatesOf(expected: readonly ExpectedStroke[], index: number): CandidateChord[] {
  const stroke = expected[index];
  if (!stroke) return [];
  const { entry } = stroke;
  const before = expected.findLast((one) => one.entry < entry) ?? expected.at(-1);
  const after = expected.find((one) => one.entry > entry) ?? expected[0];
  const found = new Map<string, CandidateChord>();
  const add = ({ name, notes, pitchClasses }: ExpectedChord, role: CandidateChord['role']): void => {
    if (!found.has(name)) found.set(name, { id: name, notes, pitchClasses, role });
  };
  add(stroke.chord, 'expected');
  if (before) add(before.chord, 'before');
  if (after) add(after.chord, 'after');
  for (const { chord } of expected) add(chord, 'other');
  return [...found.values()];
}
