import type { Branded } from '../base/brand.js';
import { type MidiNote, midiNote } from '../theory/pitch.js';

/** A fret by number: 0 is the nut (the open course), 1 the first. */
export type Fret = Branded<'Fret'>;

/** A course by its place, 0 on the bass side. */
export type Course = Branded<'Course'>;

/** A plucked instrument with frets. Lengths are millimetres; courses stand bass side first. */
export interface Instrument {
  readonly id: string;
  readonly name: string;
  /** The open courses: their pitch, and how many strings each has. */
  readonly courses: readonly { readonly open: MidiNote; readonly strings: number }[];
  /** Nut to bridge. */
  readonly scale: number;
  /** From one course to the next, at the nut. */
  readonly spacing: number;
  readonly frets: number;
}

/** Marks a whole number from 0 as a fret; throws on anything else. */
export function fret(value: number): Fret {
  if (!Number.isInteger(value) || value < 0) throw new RangeError(`${value} is not a fret`);
  return value as Fret;
}

function preset(
  id: string,
  open: readonly number[],
  strings: number,
  scale: number,
  spacing: number,
  frets: number,
): Instrument {
  return {
    id,
    name: id.replace(/-/g, ' '),
    courses: open.map((note) => ({ open: midiNote(note), strings })),
    scale,
    spacing,
    frets,
  };
}

/**
 * The mandolin: tuned in fifths from G3 (MIDI 55), scale 13 7/8 in. The spacing follows from a nut of
 * 1 1/8 in with outer strings 1/16 in from its edges: three gaps in about 22 mm.
 */
export const mandolin: Instrument = preset('mandolin', [55, 62, 69, 76], 2, 352.425, 7, 20);

/**
 * Every built-in instrument. Scales lie in the middle of the ranges makers give (mandola 400–480, octave
 * mandolin 480–600, mandocello 600–680 mm: Banjolin, see the sources in DEVELOPERS.md; tenor banjo with 19 frets 22–23 in
 * and ukulele 13 5/8 in from memory); spacings and fret counts but the mandolin's are from memory. Tunings: the larger mandolins in
 * fifths; the tenor banjo in fifths from C3, or an octave below the mandolin; the ukulele with its high G.
 */
export const instruments: readonly Instrument[] = [
  mandolin,
  preset('mandola', [48, 55, 62, 69], 2, 430, 8, 20),
  preset('octave-mandolin', [43, 50, 57, 64], 2, 530, 9, 20),
  preset('mandocello', [36, 43, 50, 57], 2, 650, 10, 20),
  preset('tenor-banjo', [48, 55, 62, 69], 1, 571.5, 9.5, 19),
  preset('tenor-banjo-gdae', [43, 50, 57, 64], 1, 571.5, 9.5, 19),
  preset('ukulele', [67, 60, 64, 69], 1, 346, 11, 12),
];

/** Whether neighbouring courses lie a fifth (seven half steps) apart. */
export function tunedInFifths(instrument: Instrument): boolean {
  return instrument.courses.every((course, index) => {
    const before = instrument.courses[index - 1];
    return before === undefined || course.open - before.open === 7;
  });
}

/** Distance from the nut to a fret's wire in mm: L · (1 − 2^(−n/12)). */
export function fretPlace(instrument: Instrument, at: Fret): number {
  return instrument.scale * (1 - 2 ** (-at / 12));
}

/**
 * How far after its wire a finger stands, in mm. Our choice: the same everywhere, so that the distance
 * between two fingers is that between their wires; never more than half of the fret.
 */
const behindWire = 4;

/** Where the finger that stops a fret stands, in mm from the nut. The open course has no finger. */
export function fingerPlace(instrument: Instrument, at: Fret): number {
  const wire = fretPlace(instrument, at);
  const before = fretPlace(instrument, Math.max(0, at - 1) as Fret);
  return wire - Math.min(behindWire, (wire - before) / 2);
}
