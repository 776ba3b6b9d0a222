/* What has no place in a chart, and how that is reported (element names: MusicXML 4.0). */

/** Attributes that are read, and those that say only how notes are drawn. */
export const drawnAttributes: ReadonlySet<string> = new Set([
  ...['divisions', 'key', 'time', 'measure-style', 'transpose'],
  ...['footnote', 'level', 'staves', 'part-symbol', 'instruments', 'clef', 'staff-details'],
]);

/** Signs on notes that belong to the melody alone, which is reported to be left out as a whole. */
export const melodyOnly: ReadonlySet<string> = new Set([
  ...['footnote', 'level', 'tied', 'slur', 'tuplet', 'glissando', 'slide', 'accidental-mark'],
]);

/** Notations that hold signs of one kind. */
export const signGroups: ReadonlySet<string> = new Set(['articulations', 'ornaments', 'technical']);

/** Attributes of `sound` that are read, or say only where it stands. */
export const soundKept: ReadonlySet<string> = new Set([
  ...['tempo', 'dacapo', 'dalsegno', 'tocoda', 'fine', 'segno', 'coda', 'id'],
]);

/** Quarters of the notes that a metronome mark counts. */
export const unitQuarters: Readonly<Record<string, number>> = {
  breve: 8,
  whole: 4,
  half: 2,
  quarter: 1,
  eighth: 0.5,
  '16th': 0.25,
  '32nd': 0.125,
};

/** Words for elements whose names do not explain them. */
const words: Readonly<Record<string, string>> = {
  wedge: 'getting louder and softer',
  dynamics: 'how loud it is',
  pedal: 'the piano pedal',
  'octave-shift': 'notes an octave higher or lower',
  'figured-bass': 'figured bass',
  fermata: 'a fermata',
};

/** What is left out with an element, in words: by its name where it is of a rare kind. */
export function leftOf(where: string, name: string): string {
  return Object.hasOwn(words, name) ? (words[name] as string) : `“${name.slice(0, 40)}” ${where}`;
}

const head: Readonly<Record<string, string>> = {
  'work-number': 'the number of the work',
  'movement-number': 'the number of the movement',
  rights: 'rights',
  source: 'the source',
  relation: 'related works',
  'miscellaneous-field': 'notes by its writer',
  'credit-words': 'words on the page outside the music',
  'credit-symbol': 'words on the page outside the music',
};

/** What is left out with an element before the music; `null` where nothing is said with it that concerns a chart. */
export function leftOfHead(name: string): string | null {
  return Object.hasOwn(head, name) ? (head[name] as string) : null;
}
