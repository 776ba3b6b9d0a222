import type { Format, Reader, Writer } from './format.js';

/*
 * Every format there is: `export` and `import`, their help and the completion read this list, so that another one is a reader
 * or a writer and an entry here.
 */

/** The formats, in the order in which they are listed. */
export const formats = [
  {
    name: 'pdf',
    label: 'PDF',
    extensions: ['pdf'],
    cannotHold: 'the sound; it is for reading and cannot be imported',
    writer: { kind: 'book', load: async () => (await import('./write-pdf.js')).writePdf },
  },
  {
    name: 'text',
    label: 'text',
    extensions: ['txt'],
    cannotHold: 'the sound; it is for reading and cannot be imported',
    writer: { kind: 'book', load: async () => (await import('./write-text.js')).writeText },
  },
  {
    name: 'midi',
    label: 'MIDI',
    extensions: ['mid'],
    cannotHold: 'numbers, repeats and shapes: each pass is written out as it sounds',
    writer: { kind: 'song', load: async () => (await import('./write-midi.js')).writeMidi },
  },
  {
    name: 'abc',
    label: 'ABC',
    extensions: ['abc'],
    cannotHold:
      'chords that come early, ring or stop, the feel, who leads, how loud, runs of the bass, the pick-up; the fingers of shapes',
    reader: {
      kind: 'songs',
      isIn: (text) => /^\ufeff?(?:%|X:)/.test(text) || /^X:\s*\d/m.test(text),
      load: async () => (await import('./find-tunes.js')).findTunes,
    },
    writer: { kind: 'song', load: async () => (await import('./write-lead-sheet.js')).writeAbc },
  },
  {
    name: 'musicxml',
    label: 'MusicXML',
    extensions: ['musicxml', 'mxl', 'xml'],
    cannotHold:
      'chords that come early, ring or stop, the feel, who leads, how loud, runs of the bass, the pick-up',
    reader: {
      kind: 'songs',
      // A compressed score is an archive.
      isIn: (text) => text.startsWith('PK') || /^\ufeff?\s*</.test(text),
      load: async () => (await import('./find-score.js')).findScore,
    },
    writer: { kind: 'song', load: async () => (await import('./write-lead-sheet.js')).writeScore },
  },
  {
    name: 'letters',
    label: 'letters',
    extensions: ['txt'],
    cannotHold: 'key, tempo and meter: give them as options',
    reader: {
      kind: 'letters',
      load: async () => (await import('../chart/import-letters.js')).importLetters,
    },
  },
] as const satisfies readonly Format[];

type Listed = (typeof formats)[number];
/** The name of a format that is written. */
export type WrittenName = Extract<Listed, { writer: unknown }>['name'];

/** A format that is written, with its writer. */
export type WrittenFormat = Format & { readonly name: WrittenName; readonly writer: Writer };

/** The formats that are written. */
export const writtenFormats: readonly WrittenFormat[] = formats.filter(
  (one): one is Extract<Listed, { writer: unknown }> => 'writer' in one,
);

/** The format that is written by this name. */
export function formatNamed(name: WrittenName): WrittenFormat {
  return writtenFormats.find((one) => one.name === name) as WrittenFormat;
}

/** A format that is read, with its reader. */
export type ReadFormat = Format & { readonly reader: Reader };

const readFormats: readonly ReadFormat[] = formats.filter(
  (one): one is Extract<Listed, { reader: unknown }> => 'reader' in one,
);

/** The format of a file by what it holds, where that tells; else by its name's extension; else it is a sheet of letters. */
export function formatOfFile(name: string, text: string): ReadFormat {
  const byContent = readFormats.find(({ reader }) => reader.kind === 'songs' && reader.isIn(text));
  const found = byContent ?? readFormats.find((format) => endsLike(name, format));
  return found ?? (readFormats.find(({ reader }) => reader.kind === 'letters') as ReadFormat);
}

/** Whether a file's name says that songs can be read from it without being told more. */
export function mayHoldSongs(name: string): boolean {
  return readFormats.some((format) => format.reader.kind === 'songs' && endsLike(name, format));
}

function endsLike(name: string, { extensions }: Format): boolean {
  return extensions.some((extension) => name.toLowerCase().endsWith(`.${extension}`));
}
