import type { TuneNote } from './tune.js';
import type { StaffNote } from './tune-pitch.js';

/** A note to be written: its place on the staff, `null` for a rest, and whether an accidental stands with it. */
export interface NoteToWrite extends Pick<TuneNote, 'parts' | 'tie'> {
  readonly staff: StaffNote | null;
  readonly accidental: boolean;
}

const accidentals: Readonly<Record<number, string>> = { [-2]: '__', [-1]: '_', 0: '=', 1: '^', 2: '^^' };

/** A note’s letter with its accidental and octave marks in ABC: `^F,`; `z` for a rest. */
export function pitchText(staff: StaffNote | null, accidental: boolean): string {
  if (!staff) return 'z';
  const letter = 'CDEFGAB'[staff.step % 7] as string;
  const octave = Math.floor(staff.step / 7);
  const sign = accidental ? (accidentals[staff.alter] ?? '') : '';
  return octave <= 4
    ? sign + letter + ','.repeat(4 - octave)
    : sign + letter.toLowerCase() + "'".repeat(octave - 5);
}

/** A length in units as ABC has it after a note: nothing for 1, `2`, `3/2`, `/2`. Both are whole. */
export function lengthText(parts: number, unit: number): string {
  const shared = divisor(parts, unit);
  const upper = parts / shared;
  const lower = unit / shared;
  return `${upper === 1 ? '' : upper}${lower === 1 ? '' : `/${lower}`}`;
}

function divisor(one: number, other: number): number {
  return other === 0 ? one : divisor(other, one % other);
}

/** What the notes of a tuplet are multiplied by so that their lengths are plain, by the odd number that they are parts of. */
const tuplets = [
  { p: 3, q: 2 },
  { p: 5, q: 4 },
  { p: 7, q: 4 },
  { p: 9, q: 8 },
] as const;

/** The odd part of the denominator that a length has against the unit: 1 for a plain one, 3 for a third. */
function oddPart(parts: number, unit: number): number {
  let lower = unit / divisor(parts, unit);
  while (lower % 2 === 0) lower /= 2;
  return lower;
}

/** The most notes that one tuplet's sign is for. */
const mostInTuplet = 9;

/**
 * Notes as ABC, with a space between beats. Lengths that are parts of three, five, seven or nine are written as tuplets
 * (ABC 2.1, 4.13) as soon as they come to a plain length together, else as fractions.
 *
 * @param unit parts of the length without a figure
 * @param beat parts of a beat, after which a space stands
 */
export function notesText(notes: readonly NoteToWrite[], unit: number, beat: number): string {
  let text = '';
  let at = 0;
  const put = (note: NoteToWrite, parts: number): string =>
    `${pitchText(note.staff, note.accidental)}${lengthText(parts, unit)}${note.tie ? '-' : ''}`;
  for (let index = 0; index < notes.length; ) {
    const note = notes[index] as NoteToWrite;
    if (at > 0 && at % beat === 0) text += ' ';
    const odd = oddPart(note.parts, unit);
    const kind = tuplets.find(({ p }) => p === odd);
    const count = kind ? tupletLength(notes, index, kind.p, unit) : 0;
    if (kind && count > 0) {
      const usual = kind.p === 3 && count === 3;
      text += usual ? '(3' : `(${kind.p}:${kind.q}:${count}`;
      for (const one of notes.slice(index, index + count)) {
        text += put(one, (one.parts * kind.p) / kind.q);
        at += one.parts;
      }
      index += count;
      continue;
    }
    const next = notes[index + 1];
    const sign = next && odd === 1 ? brokenSign(note.parts, next.parts, unit) : '';
    text += put(note, sign === '' || !next ? note.parts : (note.parts + next.parts) / 2);
    at += note.parts;
    index += 1;
    if (sign === '' || !next) continue;
    text += sign + put(next, (note.parts + next.parts) / 2);
    at += next.parts;
    index += 1;
  }
  return text;
}

/** The sign of a dotted note with the short one that goes with it (ABC 2.1, 4.4), where it saves both a fraction; else none. */
function brokenSign(parts: number, next: number, unit: number): string {
  const whole = (parts + next) / 2;
  if (whole % unit !== 0 || parts % unit === 0) return '';
  return parts === 3 * next ? '>' : next === 3 * parts ? '<' : '';
}

/** How many notes from here on make a plain length together, each being a part of `p`; 0 where none do. */
function tupletLength(notes: readonly NoteToWrite[], from: number, p: number, unit: number): number {
  let sum = 0;
  for (let count = 1; count <= mostInTuplet; count += 1) {
    const note = notes[from + count - 1];
    if (!note || oddPart(note.parts, unit) !== p) return 0;
    sum += note.parts;
    if (oddPart(sum, unit) === 1) return count > 1 ? count : 0;
  }
  return 0;
}

/** Says bar by bar which notes need their accidental, one holding to the end of its bar, and over a bar line for a tied note. */
export class StaffWriter {
  /** The note that a tie leads to, as a reader would take it. */
  private tied: StaffNote | null = null;

  /** The notes of a bar under a signature. `wanted`: which have an accidental though they need none. */
  notes(
    notes: readonly Omit<NoteToWrite, 'accidental'>[],
    signature: readonly number[],
    wanted: readonly boolean[] = [],
  ): readonly NoteToWrite[] {
    const held = new Map<number, number>();
    return notes.map(({ staff, parts, tie }, index): NoteToWrite => {
      const { tied } = this;
      this.tied = null;
      if (!staff) return { staff, accidental: false, parts, tie: false };
      const letter = staff.step % 7;
      const carried = tied?.step === staff.step ? tied.alter : null;
      const understood = carried ?? held.get(letter) ?? signature[letter] ?? 0;
      const accidental = understood !== staff.alter || wanted[index] === true;
      if (accidental) held.set(letter, staff.alter);
      if (tie) this.tied = staff;
      return { staff, accidental, parts, tie };
    });
  }

  /** A tie that leads where the reader does not follow it. */
  endTie(): void {
    this.tied = null;
  }
}
