import type { Key } from '../../theory/key.js';
import type { Chart, Meter, Section } from '../chart.js';
import { Faults } from '../fault.js';
import { keyAt } from '../key-target.js';
import type { SourceLine } from '../read-section.js';
import { pitchText } from './note-text.js';
import type { TuneNote } from './tune.js';
import { barPlaces } from './tune-bars.js';
import { readPitches } from './tune-notes.js';
import { homeShift, tonicNumber } from './tune-pitch.js';
import { type RawBar, rawBars } from './tune-text.js';
import { NoteWriter } from './write-tune.js';

/** Octaves by which a tune is written higher when its chart is written in another key, so that it lies nearest to where it was. */
function octavesUp(from: Key, to: Key): number {
  return (tonicNumber(from, from) + homeShift(from, to) - tonicNumber(to, to)) / 12;
}

function moved(notes: readonly TuneNote[], octaves: number): readonly TuneNote[] {
  return notes.map((note) =>
    note.pitch ? { ...note, pitch: { ...note.pitch, octave: note.pitch.octave + octaves } } : note,
  );
}

/** A chart that is written in another key, its tune as near as it can be to where it was. */
export function chartInKey(chart: Chart, key: Key): Chart {
  const octaves = octavesUp(chart.key, key);
  if (!chart.tune || octaves === 0) return { ...chart, key };
  return {
    ...chart,
    key,
    tune: chart.tune.map((tune) => ({
      ...tune,
      pickup: moved(tune.pickup, octaves),
      bars: tune.bars.map(({ notes }) => ({ notes: moved(notes, octaves) })),
    })),
  };
}

/** A note of a text, where it stands, and what stands there in another key. */
export interface NoteInKey {
  readonly line: number;
  readonly column: number;
  readonly text: string;
  readonly instead: string;
}

/** The notes of a section's tune in another key, where they are others; lengths, bar lines and all else stay as they are. */
export function tuneInKey(
  lines: readonly SourceLine[],
  section: Section,
  { key: from, meter }: { readonly key: Key; readonly meter: Meter },
  to: Key,
): readonly NoteInKey[] {
  const faults = new Faults();
  const places = barPlaces(section, from, meter);
  const { bars: raw } = rawBars(lines, meter, faults);
  const ahead = raw.length - places.length;
  if (ahead !== 0 && ahead !== 1) return [];
  const bars = raw.slice(ahead);
  const pickup = ahead === 1 ? (raw[0] ?? null) : null;
  const read = readPitches(pickup, bars, places, from, faults);
  const writer = new NoteWriter(to);
  const octaves = octavesUp(from, to);
  const inKey = (bar: RawBar, notes: readonly TuneNote[], key: Key): readonly NoteInKey[] => {
    const written = writer.notes(
      moved(notes, octaves),
      keyAt({ key, home: from }, to),
      bar.notes.map(({ alter }) => alter !== null),
    );
    return written.flatMap(({ staff, accidental }, index) => {
      const { text, place } = bar.notes[index] ?? { text: '', place: bar.place };
      const instead = pitchText(staff, accidental);
      return staff && instead !== text ? [{ ...place, text, instead }] : [];
    });
  };
  const first = pickup ? inKey(pickup, read.pickup, places[0]?.key ?? from) : [];
  return [
    ...first,
    ...bars.flatMap((bar, index) => {
      const place = places[index];
      const notes = inKey(bar, read.bars[index]?.notes ?? [], place?.key ?? from);
      if (bar.whole || place?.leaves) writer.endTie();
      return notes;
    }),
  ];
}
