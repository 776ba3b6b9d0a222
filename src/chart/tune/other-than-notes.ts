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
      `fields do not stand in a tune: key and meter are the chart’s, a note without a figure is ${unitName(meter) === 'eighth' ? 'an eighth' : 'a sixteenth'}`,
  ],
  [/^\[[^\]|]{0,200}\]?/u, 'a chord of notes does not stand in a tune; write its highest note alone'],
  [/^"[^"]{0,200}"?/u, 'chords and words do not stand in a tune; the section has them'],
  [/^\{[^}]{0,200}\}?/u, 'grace notes are not kept in a tune; leave out what stands in braces'],
  [/^![^!\s]{0,100}!?/u, 'signs for how a note is played are not kept in a tune; leave them out'],
  [/^[.~HLMOPSTuv]/u, (sign) => `${quoted(sign)} is a sign for how a note is played; leave it out`],
  [/^[()]+/u, 'slurs are not kept in a tune; leave them out, and write - behind a note for a tie'],
  [/^&+/u, 'a tune has one voice; leave out & and what stands behind it'],
  [/^[\\$*]+/u, 'lines of a tune go on by themselves; leave this sign out'],
  [/^-/u, 'a tie stands right behind the note that goes on: A-A'],
  [/^[<>]+/u, 'broken rhythm stands behind a note: A>B'],
  [/^(?:\^{1,2}|_{1,2}|=)+/u, 'an accidental stands right in front of its note: ^F, _B, =c'],
  [/^['’,]+/u, "octave marks stand right behind a note: c’ is written c', and C, an octave lower"],
  [/^[#♯b♭]/u, 'sharps and flats are written in front of the note: ^F, _B'],
  [/^[0-9/]+/u, 'a length stands right behind its note; notes are letters: C D E F G A B c d e f g a b'],
  [/^:+/u, 'bar lines are written |, repeats |: and :|'],
  [/^y[0-9]{0,4}/u, 'space between notes is not kept in a tune; leave it out'],
];

/** What is said of a text that begins with no part of a tune. */
export function otherThanNotes(text: string, meter: Meter): Other {
  for (const [pattern, says] of rows) {
    const found = pattern.exec(text)?.[0];
    if (found) return { length: found.length, says: typeof says === 'string' ? says : says(found, meter) };
  }
  const character = String.fromCodePoint(text.codePointAt(0) ?? 0);
  return {
    length: character.length,
    says: `${quoted(character)} is not a note; notes are C D E F G A B, an octave higher c d e f g a b, rests z`,
  };
}
