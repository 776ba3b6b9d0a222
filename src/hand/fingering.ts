import { type MidiNote, midiNote } from '../theory/pitch.js';
import { type Fret, fret, type Instrument } from './instrument.js';

/** The frets of a chord, bass side first; `null` is a course not played. */
export type Frets = readonly (Fret | null)[];

/** A fretting finger: 1 index, 2 middle, 3 ring, 4 little. */
export type Finger = 1 | 2 | 3 | 4;

/** Fingers by name, as prompts call them; index 0 is unused. */
export const fingerNames = ['', 'index', 'middle', 'ring', 'little'] as const;

/** A voicing with a finger for each fretted course, bass side first; `null` where no finger stands. */
export interface Fingering {
  readonly frets: Frets;
  readonly fingers: readonly (Finger | null)[];
  /** The name of the shape, when it is one the trade has a name for. */
  readonly shape: string | null;
  /** What is left out or put in place of the chord's own quality; empty when it is all there. */
  readonly remark: string;
}

/** Writes frets: `7-4-5-x`. */
export function fretsText(frets: Frets): string {
  return frets.map((one) => one ?? 'x').join('-');
}

/** Reads frets written `7-4-5-x`; throws on anything else (used for tables, not for input). */
export function parseFrets(text: string): Frets {
  return text.split('-').map((one) => (one === 'x' ? null : fret(one === '' ? Number.NaN : Number(one))));
}

/** Writes fingers in the same way: `3-1-2-x`. Only for tables and JSON; prompts use names. */
export function fingersText(fingers: Fingering['fingers']): string {
  return fingers.map((one) => one ?? 'x').join('-');
}

/** Fingers as letters, as written on a drawn neck: `R I M -`. */
export function fingersLabel(fingers: Fingering['fingers']): string {
  return fingers.map((one) => (one === null ? '-' : (fingerNames[one][0] ?? '').toUpperCase())).join(' ');
}

/** The notes that sound, bass side first; `null` for a course not played. */
export function soundingNotes(instrument: Instrument, frets: Frets): readonly (MidiNote | null)[] {
  return frets.map((at, course) => {
    const open = instrument.courses[course]?.open;
    return at === null || open === undefined ? null : midiNote(open + at);
  });
}

/** Whether two fingerings are the same frets with the same fingers. */
export function sameFingering(one: Fingering, other: Fingering): boolean {
  return (
    one.frets.length === other.frets.length &&
    one.frets.every((at, course) => at === other.frets[course]) &&
    one.fingers.every((finger, course) => finger === other.fingers[course])
  );
}
