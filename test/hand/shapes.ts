import { type Finger, type Fingering, parseFrets } from '../../src/hand/fingering.js';
import type { Instrument } from '../../src/hand/instrument.js';
import { midiNote } from '../../src/theory/pitch.js';

/** A fingering from two tables: `7-4-5-x` and `312x`. */
export function fingering(frets: string, fingers: string): Fingering {
  return {
    frets: parseFrets(frets),
    fingers: [...fingers].map((one) => (one === 'x' ? null : (Number(one) as Finger))),
    shape: null,
    remark: '',
  };
}

/** The stock shapes where their root is `up` half steps above G (four-finger) or D (three-finger). */
export function moved(shape: Fingering, up: number): Fingering {
  const frets = shape.frets.map((at) => (at === null ? null : at + up));
  return { ...shape, frets: parseFrets(frets.map((at) => at ?? 'x').join('-')) };
}

/** An instrument with other open courses and another scale; the rest is of no account here. */
export function instrument(open: readonly number[], scale: number): Instrument {
  const courses = open.map((note) => ({ open: midiNote(note), strings: 2 }));
  return { id: 'test', name: 'test', courses, scale, spacing: 8, frets: 20 };
}
