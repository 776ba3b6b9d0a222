import type { SheetBar, SheetNote, SheetRead } from './lead-sheet.js';

/** Bars whose melody is kept only where any of them has a note: chords over rests are no melody. */
export function withMelody(bars: readonly SheetBar[]): readonly SheetBar[] {
  if (bars.some(({ notes }) => notes?.some(({ staff }) => staff !== null))) return bars;
  return bars.map(withoutNotes);
}

function withoutNotes({ notes: _, pickupNotes: __, ...bar }: SheetBar): SheetBar {
  return bar;
}

/** A song without its melody, and how many notes were left out. */
export function withoutMelody(read: SheetRead): SheetRead {
  if (read.notes === 0) return read;
  const place = { line: read.sheet.bars[0]?.place.line ?? 1, column: 1 };
  return {
    ...read,
    notes: 0,
    remarks: [...read.remarks, { place, message: `the melody is left out: ${read.notes} notes` }],
    sheet: { ...read.sheet, bars: read.sheet.bars.map(withoutNotes) },
  };
}

/** How long notes are together, in parts of a quarter. */
export function notesParts(notes: readonly SheetNote[]): number {
  return notes.reduce((sum, { parts }) => sum + parts, 0);
}

/** The notes between two places, in parts of a quarter; one that is cut is tied to what is left of it. */
export function notesBetween(notes: readonly SheetNote[], from: number, to: number): readonly SheetNote[] {
  const found: SheetNote[] = [];
  let at = 0;
  for (const note of notes) {
    const begin = Math.max(at, from);
    const end = Math.min(at + note.parts, to);
    if (end > begin)
      found.push({
        ...note,
        parts: end - begin,
        tie: note.staff !== null && (note.tie || end < at + note.parts),
      });
    at += note.parts;
  }
  return found;
}

/** Notes made as long as a bar: what is missing is a rest, what is too much is left out. */
export function notesLasting(notes: readonly SheetNote[], parts: number): readonly SheetNote[] {
  const missing = parts - notesParts(notes);
  if (missing === 0) return notes;
  if (missing > 0) return [...notes, { staff: null, parts: missing, tie: false }];
  const kept = notesBetween(notes, 0, parts);
  return kept.map((note, index) => (index === kept.length - 1 ? { ...note, tie: false } : note));
}
