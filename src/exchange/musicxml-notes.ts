import { partsPerQuarter } from '../chart/tune/tune.js';
import type { StaffNote } from '../chart/tune/tune-pitch.js';
import type { SheetNote } from './lead-sheet.js';

/** A note of a measure: quarters from its start, how long it is, and the voice and staff it is in. */
export interface ScoreNote {
  readonly at: number;
  readonly quarters: number;
  readonly staff: StaffNote | null;
  readonly tie: boolean;
  readonly voice: string;
  /** Whether it sounds together with the note before. */
  readonly chord: boolean;
}

/**
 * The melody of a measure: the voice that is written first, of notes that sound together the highest, with rests where it has
 * nothing.
 *
 * @param notes those of the first staff, without grace notes
 * @returns its notes, and whether others were left out that sound together with them, or in other voices
 */
export function melodyOf(
  notes: readonly ScoreNote[],
  length: number,
): {
  readonly notes: readonly SheetNote[];
  readonly below: boolean;
  readonly voices: boolean;
  readonly inexact: boolean;
} {
  const voice = notes[0]?.voice;
  const own = notes.filter((note) => note.voice === voice);
  const tops: ScoreNote[] = [];
  let below = false;
  for (const note of own) {
    const last = tops.at(-1);
    if (!note.chord || !last) tops.push(note);
    else {
      below = true;
      if (heightOf(note) > heightOf(last))
        tops[tops.length - 1] = { ...note, at: last.at, quarters: last.quarters };
    }
  }
  let inexact = false;
  const partsAt = (quarters: number): number => {
    const exact = quarters * partsPerQuarter;
    if (Math.abs(exact - Math.round(exact)) > 1e-2) inexact = true;
    return Math.round(exact);
  };
  const sorted = [...tops].sort((one, other) => one.at - other.at);
  const found: SheetNote[] = [];
  let at = 0;
  for (const note of sorted) {
    const from = Math.max(at, partsAt(note.at));
    const to = partsAt(note.at + note.quarters);
    if (to <= from) continue;
    if (from > at) found.push({ staff: null, parts: from - at, tie: false });
    found.push({ staff: note.staff, parts: to - from, tie: note.tie });
    at = to;
  }
  const end = partsAt(length);
  if (end > at) found.push({ staff: null, parts: end - at, tie: false });
  return { notes: found, below, voices: own.length < notes.length, inexact };
}

function heightOf({ staff }: ScoreNote): number {
  return staff ? staff.step * 10 + staff.alter : -1;
}
