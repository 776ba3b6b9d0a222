import type { Key } from '../../theory/key.js';
import type { Faults } from '../fault.js';
import type { SectionTune, TuneNote } from './tune.js';
import type { BarPlace } from './tune-bars.js';
import { degreeOf, signatureOf } from './tune-pitch.js';
import type { RawBar, RawNote } from './tune-text.js';

/** What a tie carries into the next note: the note it must be, with the accidental it has. */
interface Tied {
  readonly note: RawNote;
  readonly alter: number;
}

/**
 * The notes of a tune as degrees. An accidental holds to the end of its bar for its letter in all octaves (ABC 2.1, 11.3, the
 * usual `propagate-accidentals`), and over a bar line for a note that is tied.
 */
export function readPitches(
  pickup: RawBar | null,
  bars: readonly RawBar[],
  places: readonly BarPlace[],
  home: Key,
  faults: Faults,
): Pick<SectionTune, 'pickup' | 'bars'> {
  let tied: Tied | null = null;
  const notesOf = (raw: RawBar, key: Key): readonly TuneNote[] => {
    const signature = signatureOf(key);
    const held = new Map<number, number>();
    return raw.notes.map((note): TuneNote => {
      const { step, parts, tie } = note;
      const before: Tied | null = tied;
      tied = null;
      if (before && (step === null || step !== before.note.step)) tieFault(before, faults);
      if (step === null) return { pitch: null, parts, tie: false };
      const letter = step % 7;
      const carried = before?.note.step === step && note.alter === null ? before.alter : null;
      if (note.alter !== null) held.set(letter, note.alter);
      const alter: number = note.alter ?? carried ?? held.get(letter) ?? signature[letter] ?? 0;
      if (before && before.note.step === step && before.alter !== alter) tieFault(before, faults);
      if (tie) tied = { note, alter };
      return { pitch: degreeOf({ step, alter }, key, home), parts, tie };
    });
  };
  const first = places[0]?.key ?? home;
  const ahead = pickup && !pickup.whole ? notesOf(pickup, first) : [];
  const read = bars.map((bar, index) => {
    const place = places[index];
    if (bar.whole && tied) tieFault(tied, faults);
    if (bar.whole) tied = null;
    const notes = bar.whole ? [] : notesOf(bar, place?.key ?? home);
    // Where the next bar depends on the way, a tie goes on if that bar begins with its note.
    if (place?.leaves) tied = null;
    return { notes };
  });
  return { pickup: ahead, bars: read };
}

function tieFault({ note }: Tied, faults: Faults): void {
  faults.error(
    note.place,
    'the note after this tie has another pitch; a tie joins two notes of the same pitch, so leave out the - or write the same note',
  );
}
