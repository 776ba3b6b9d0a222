import type { PlayedBar } from '../chart.js';
import { barParts, type PlayedNote } from './play-tune.js';

/** A note as it sounds: its beginning counted from the first bar's start in parts of a quarter, with all that is tied to it. */
export interface SoundingNote {
  readonly at: number;
  readonly parts: number;
  readonly pitch: number;
}

/** The notes of a pass as they sound, tied ones as one; bars follow each other as they are written. */
export function soundingNotes(
  notes: readonly PlayedNote[],
  bars: readonly PlayedBar[],
): readonly SoundingNote[] {
  const starts: number[] = [0];
  for (const bar of bars) starts.push((starts.at(-1) ?? 0) + barParts(bar));
  const found: SoundingNote[] = [];
  for (const { bar, at, parts, pitch, tied } of notes) {
    const last = found.at(-1);
    if (tied && last) found[found.length - 1] = { ...last, parts: last.parts + parts };
    else found.push({ at: (starts[Math.max(0, bar)] ?? 0) + at, parts, pitch });
  }
  return found;
}
