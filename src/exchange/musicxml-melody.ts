import type { NoteToWrite } from '../chart/tune/note-text.js';
import { partsPerQuarter } from '../chart/tune/tune.js';

/** A note value of the standard (`note-type-value`) with its dots, in parts of a quarter. */
interface NoteValue {
  readonly parts: number;
  readonly type: string;
  readonly dots: number;
}

const types = ['breve', 'whole', 'half', 'quarter', 'eighth', '16th', '32nd', '64th', '128th', '256th'];

/** Note values, the longest first, each plain, with one dot and with two. */
const values: readonly NoteValue[] = types
  .flatMap((type, index): NoteValue[] => {
    const plain = (8 * partsPerQuarter) / 2 ** index;
    return [2, 1, 0].map((dots) => ({ type, dots, parts: plain * (2 - 2 ** -dots) }));
  })
  .filter(({ parts }) => Number.isInteger(parts));

/** The ratios of tuplets, by the odd number that their notes are parts of. */
const tuplets = [
  { actual: 3, normal: 2 },
  { actual: 5, normal: 4 },
  { actual: 7, normal: 4 },
  { actual: 9, normal: 8 },
] as const;

/** The odd part of a length's denominator against a quarter's binary parts: 1, 3, 5, 7 or 9, or another for what is not a tuplet. */
function oddPart(parts: number): number {
  const odd = 315;
  let lower = odd / divisor(odd, parts);
  while (lower % 2 === 0) lower /= 2;
  return lower;
}

function divisor(one: number, other: number): number {
  return other === 0 ? one : divisor(other, one % other);
}

/** A piece of a note that has a value of its own. */
interface Piece extends NoteValue {
  readonly tuplet: (typeof tuplets)[number] | null;
  /** How long it is, and how long it is written, in parts of a quarter. */
  readonly sounds: number;
}

/**
 * A length as note values that follow each other, as tuplets where it is a part of them. Two rests in a row may together be a part
 * of two tuplets: then it is a note of one, preferably of the tuplet `before` it, which it may end, and then what is left.
 */
function piecesOf(parts: number, before: Piece['tuplet']): readonly Piece[] {
  const odd = oddPart(parts);
  const own = tuplets.find(({ actual }) => actual === odd) ?? null;
  if (odd === 1 || own) return piecesIn(own, parts);
  return (
    [...(before ? [before] : []), ...tuplets]
      .flatMap((tuplet) => values.map((value) => ({ ...value, tuplet, sounds: soundsIn(tuplet, value) })))
      .filter(({ sounds }) => Number.isInteger(sounds) && sounds < parts && oddPart(parts - sounds) < odd)
      .map((piece) => [piece, ...piecesOf(parts - piece.sounds, piece.tuplet)])
      .reduce<readonly Piece[] | null>(
        (best, one) => (best === null || one.length < best.length ? one : best),
        null,
      ) ?? piecesIn(null, parts)
  );
}

/** A length as note values of one tuplet, or of none, the longest first. */
function piecesIn(tuplet: Piece['tuplet'], parts: number): readonly Piece[] {
  const pieces: Piece[] = [];
  let left = parts;
  while (left > 0 && pieces.length < 64) {
    const found = values.find((value) => {
      const sounds = soundsIn(tuplet, value);
      return Number.isInteger(sounds) && sounds <= left;
    });
    // What is finer than any goes to the last.
    const value = found ?? (values.at(-1) as NoteValue);
    const sounds = found ? soundsIn(tuplet, value) : left;
    pieces.push({ ...value, tuplet, sounds });
    left -= sounds;
  }
  return pieces;
}

function soundsIn(tuplet: Piece['tuplet'], { parts }: NoteValue): number {
  return tuplet ? (parts * tuplet.normal) / tuplet.actual : parts;
}

const accidentals: Readonly<Record<number, string>> = {
  [-2]: 'flat-flat',
  [-1]: 'flat',
  0: 'natural',
  1: 'sharp',
  2: 'double-sharp',
};

/** A piece of a note in its bar. */
interface Placed {
  readonly note: NoteToWrite;
  readonly piece: Piece;
  readonly at: number;
  /** Whether it begins its note, and whether it is tied to what follows. */
  readonly first: boolean;
  readonly starts: boolean;
}

/** The pieces of a bar's notes, with where each begins. */
function placed(notes: readonly NoteToWrite[]): readonly Placed[] {
  let at = 0;
  let before: Piece['tuplet'] = null;
  return notes.flatMap((note) => {
    const pieces = piecesOf(note.parts, before);
    before = pieces.at(-1)?.tuplet ?? null;
    return pieces.map((piece, index): Placed => {
      const starts = note.staff !== null && (note.tie || index < pieces.length - 1);
      const found = { note, piece, at, first: index === 0, starts };
      at += piece.sounds;
      return found;
    });
  });
}

/**
 * Where brackets of tuplets begin and end, by piece: what shows a figure over the notes (MusicXML 4.0, `tuplet`). One ends where
 * its notes together are a plain length again; those that never are have none.
 */
function tupletMarks(pieces: readonly Placed[]): readonly string[] {
  const marks = pieces.map(() => '');
  let begin = 0;
  let together = 0;
  pieces.forEach(({ piece: { tuplet, sounds } }, index) => {
    if (tuplet !== pieces[begin]?.piece.tuplet) {
      begin = index;
      together = 0;
    }
    together += sounds;
    if (!tuplet) begin = index + 1;
    else if (oddPart(together) === 1) {
      if (index > begin) {
        marks[begin] = '<tuplet type="start" bracket="yes"/>';
        marks[index] = '<tuplet type="stop"/>';
      }
      begin = index + 1;
    } else return;
    together = 0;
  });
  return marks;
}

/** Notations of a note by where it begins and ends in its bar, in parts of a quarter. */
export type NotationsAt = (from: number, to: number) => string;

/**
 * A bar's notes as `note` elements, each with where it begins in parts of a quarter. A length that is not a note value is several,
 * tied.
 *
 * @param tied whether the first goes on from the bar before
 */
export function melodyXml(
  notes: readonly NoteToWrite[],
  tied: boolean,
  notationsAt: NotationsAt,
): readonly { readonly at: number; readonly parts: number; readonly xml: string }[] {
  const pieces = placed(notes);
  const marks = tupletMarks(pieces);
  return pieces.map((one, index) => {
    const { at, piece } = one;
    const stops = index === 0 ? tied : pieces[index - 1]?.starts === true;
    const notations = `${marks[index]}${notationsAt(at, at + piece.sounds)}`;
    return { at, parts: piece.sounds, xml: noteXml(one, stops, notations) };
  });
}

function noteXml({ note, piece, first, starts }: Placed, stops: boolean, notations: string): string {
  const { staff, accidental } = note;
  const { type, dots, tuplet, sounds } = piece;
  const ends = stops && staff !== null;
  const alter = staff && staff.alter !== 0 ? `<alter>${staff.alter}</alter>` : '';
  const pitch = staff
    ? `<pitch><step>${'CDEFGAB'[staff.step % 7]}</step>${alter}<octave>${Math.floor(staff.step / 7)}</octave></pitch>`
    : '<rest/>';
  const ties = `${ends ? '<tie type="stop"/>' : ''}${starts ? '<tie type="start"/>' : ''}`;
  const tieds = `${ends ? '<tied type="stop"/>' : ''}${starts ? '<tied type="start"/>' : ''}`;
  const sign = staff && accidental && first ? `<accidental>${accidentals[staff.alter]}</accidental>` : '';
  const time = tuplet
    ? `<time-modification><actual-notes>${tuplet.actual}</actual-notes><normal-notes>${tuplet.normal}</normal-notes></time-modification>`
    : '';
  const all = `${tieds}${notations}`;
  return `      <note>${pitch}<duration>${sounds}</duration>${ties}<voice>1</voice><type>${type}</type>${'<dot/>'.repeat(dots)}${sign}${time}${all === '' ? '' : `<notations>${all}</notations>`}</note>`;
}
