import type { Key } from '../../theory/key.js';
import { type Chart, type Meter, quartersPerBeat, type Section } from '../chart.js';
import { unitParts } from './note-lengths.js';
import { type NoteToWrite, notesText, StaffWriter } from './note-text.js';
import { partsPerQuarter, type SectionTune, type TuneNote } from './tune.js';
import { barPlaces } from './tune-bars.js';
import { signatureOf, staffOf } from './tune-pitch.js';

/**
 * The lines of a section's tune in their tidy form: a line for each line of the section, with its repeats and endings. `null`
 * where it is not that section's: their bars are not as many.
 */
export function tuneLines(
  tune: SectionTune,
  section: Section,
  { key: home, meter }: Pick<Chart, 'key' | 'meter'>,
): readonly string[] | null {
  const places = barPlaces(section, home, meter);
  if (places.length !== tune.bars.length || places.length === 0) return null;
  const remarksAt = (from: number, to: number): string =>
    tune.remarks
      .flatMap(({ bar, text }) => (bar >= from && bar < to ? [`% ${text}`.trimEnd()] : []))
      .join(' ');
  const writer = new NoteWriter(home);
  const unit = unitParts(meter);
  const first = remarksAt(-1, 0);
  const lines: string[] = first === '' ? [] : [first];
  let from = 0;
  let line: string[] = [];
  const ahead =
    tune.pickup.length > 0
      ? notesText(writer.notes(tune.pickup, places[0]?.key ?? home), unit, beatOf(meter))
      : null;
  places.forEach((place, index) => {
    const { notes } = tune.bars[index] ?? { notes: [] };
    const text =
      notes.length === 0 ? 'Z' : notesText(writer.notes(notes, place.key), unit, beatOf(place.meter));
    if (notes.length === 0 || place.leaves) writer.endTie();
    const ending = place.ending === null || place.ending === 'last' ? '' : `[${place.ending.join(',')} `;
    line.push(
      `${place.opens ? '|: ' : ''}${index === 0 && ahead !== null ? `${ahead} | ` : ''}${ending}${text} ${place.goesBack ? ':|' : '|'}`,
    );
    if (places[index + 1]?.line !== place.line) {
      const remarks = remarksAt(from, index + 1);
      lines.push([...line, ...(remarks === '' ? [] : [remarks])].join(' '));
      from = index + 1;
      line = [];
    }
  });
  return lines;
}

/** Parts of a beat, by which notes stand together. */
function beatOf(meter: Meter): number {
  return Math.round(quartersPerBeat(meter) * partsPerQuarter);
}

/** Puts accidentals where the reader needs them: see `readPitches`. */
export class NoteWriter {
  private readonly staff = new StaffWriter();

  constructor(private readonly home: Key) {}

  /** The notes of a bar, whose letters stand in a key. `wanted`: which have an accidental though they need none. */
  notes(notes: readonly TuneNote[], key: Key, wanted: readonly boolean[] = []): readonly NoteToWrite[] {
    const staff = notes.map(({ pitch, ...note }) => ({
      ...note,
      staff: pitch && staffOf(pitch, key, this.home),
    }));
    return this.staff.notes(staff, signatureOf(key), wanted);
  }

  /** A tie that leads where the reader does not follow it. */
  endTie(): void {
    this.staff.endTie();
  }
}
