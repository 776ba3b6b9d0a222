import { type Fret, fingerPlace, fretPlace, type Instrument } from './instrument.js';

/** The lengths of a neck that holding a shape depends on, worked out once for an instrument; all in mm. */
export interface NeckLengths {
  /** Where each fret's wire lies, from the nut. */
  readonly wires: Float64Array;
  /** Where the finger that stops a fret stands, from the nut, by fret. */
  readonly places: Float64Array;
  /** From the wire before a fret to its own, by fret. */
  readonly widths: Float64Array;
  /** From one course to the next. */
  readonly spacing: number;
  /** Whether courses have single strings. */
  readonly single: boolean;
  /** The fret up to which the index stands with the hand at the nut. */
  readonly home: number;
}

/** Frets that are measured beyond the last one of the neck: shapes are also priced where the neck is too short for them. */
const beyondNeck = 24;

const known = new WeakMap<Instrument, NeckLengths>();

/** The lengths of an instrument's neck. */
export function neckLengths(instrument: Instrument): NeckLengths {
  const found = known.get(instrument);
  if (found) return found;
  const count = instrument.frets + beyondNeck + 1;
  const wires = Float64Array.from({ length: count }, (_, at) => fretPlace(instrument, at as Fret));
  const made: NeckLengths = {
    wires,
    places: Float64Array.from({ length: count }, (_, at) => fingerPlace(instrument, at as Fret)),
    widths: wires.map((wire, at) => wire - (at > 0 ? (wires[at - 1] as number) : 0)),
    spacing: instrument.spacing,
    single: instrument.courses.every(({ strings }) => strings === 1),
    home: homeOf(instrument),
  };
  known.set(instrument, made);
  return made;
}

/**
 * Four fingers share the half steps from one course to the next: where courses stand in fifths each takes two frets,
 * where they stand in fourths and thirds about one. A course tuned above its neighbour (a high fourth string) is
 * passed over.
 */
function homeOf({ courses }: Instrument): number {
  const steps = courses.slice(1).flatMap(({ open }, index) => {
    const up = open - (courses[index]?.open ?? open);
    return up > 0 ? [up] : [];
  });
  const mean = steps.reduce((sum, step) => sum + step, 0) / Math.max(1, steps.length);
  return Math.max(1, Math.round(mean / 4));
}
