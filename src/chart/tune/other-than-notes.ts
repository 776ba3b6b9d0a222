import { quoted } from '../../base/safe-text.js';
import type { Meter } from '../chart.js';
import { unitName } from './note-lengths.js';

/** What others write among notes, what it would be here, and how many UTF-16 units of it there are. */
interface Other {
  readonly length: number;
  readonly says: string;
}

type Row = readonly [pattern: RegExp, says: string | ((found: string, meter: Meter) => string)];

/** In the order in which they are tried. Each pattern is bounded, so that a line is read in linear time. */
const rows: readonly Row[] = [
  [
    /^(?:\[[A-Za-z]:[^\]]{0,200}\]?|[A-Zrsw]:.{0,500})/u,
    (_, meter) =>
      `a tune has no fields: key and meter come from the chart, and a note without a figure is ${unitName(meter) === 'eighth' ? 'an eighth' : 'a sixteenth'}`,
  ],
  [/^\[[^\]|]{0,200}\]?/u, 'a tune has one note at a time; write only the highest note of this chord'],
  [/^"[^"]{0,200}"?/u, 'a tune has no chord symbols or words; they belong in the section'],
  [/^\{[^}]{0,200}\}?/u, 'grace notes are not kept in a tune; leave out the braces and what is in them'],
  [/^![^!\s]{0,100}!?/u, 'signs for how a note is played are not kept in a tune; leave them out'],
  [/^[.~HLMOPSTuv]/u, (sign) => `${quoted(sign)} is a sign for how a note is played; leave it out`],
  [/^[()]+/u, 'slurs are not kept in a tune; leave them out, and write - after a note for a tie'],
  [/^&+/u, 'a tune has one voice; leave out & and what follows it'],
  [/^[\\$*]+/u, 'the lines of a tune continue by themselves; leave out this sign'],
  [/^-/u, 'a tie comes directly after its first note: A-A'],
  [/^[<>]+/u, 'the sign for broken rhythm comes after a note: A>B'],
  [/^(?:\^{1,2}|_{1,2}|=)+/u, 'an accidental comes directly before its note: ^F, _B, =c'],
  [/^['’,]+/u, "octave marks come directly after a note: c’ is written c', and C, an octave lower"],
  [/^[#♯b♭]/u, 'sharps and flats are written before the note: ^F, _B'],
  [/^[0-9/]+/u, 'a length comes directly after its note; notes are letters: C D E F G A B c d e f g a b'],
  [/^:+/u, 'bar lines are written |, repeats |: and :|'],
  [/^y[0-9]{0,4}/u, 'extra space between notes is not kept in a tune; leave it out'],
];

/** What is said of a text that does not begin with a part of a tune. */
export function otherThanNotes(text: string, meter: Meter): Other {
  for (const [pattern, says] of rows) {
    const found = pattern.exec(text)?.[0];
    if (found) return { length: found.length, says: typeof says === 'string' ? says : says(found, meter) };
  }
  const character = String.fromCodePoint(text.codePointAt(0) ?? 0);
  return {
    length: character.length,
    says: `${quoted(character)} is not a note; notes are C D E F G A B, an octave higher c d e f g a b, and rests are z`,
  };
}
