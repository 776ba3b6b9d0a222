import type { Outcome } from '../base/outcome.js';
import type { Place } from '../chart/chart.js';
import type { LetterSheet, LetterSheetOptions } from '../chart/import-letters.js';
import type { Book } from './book.js';
import type { SheetRead } from './lead-sheet.js';
import type { Blank } from './sheet-text.js';
import type { Song } from './song.js';

/** A format that charts come from or go to. */
export interface Format {
  /** What it is called on the command line, and in sentences. */
  readonly name: string;
  readonly label: string;
  /** How its files end, without the dot; what is written ends as the first. */
  readonly extensions: readonly string[];
  /** What it cannot hold of a chart, in a line. */
  readonly cannotHold: string;
  readonly reader?: Reader;
  readonly writer?: Writer;
}

/*
 * Readers and writers are loaded when they are wanted: the list of formats is read at every start, and some of them need
 * libraries that take longer than the whole start.
 */

/** `songs`: what a file holds says how it is played; `letters`: it has chords only, and the rest must be told. */
export type Reader =
  | {
      readonly kind: 'songs';
      readonly isIn: (text: string) => boolean;
      readonly load: () => Promise<SongsReader>;
    }
  | { readonly kind: 'letters'; readonly load: () => Promise<LettersReader> };

/** The songs of a file, whatever it holds; each is read when it is wanted. */
export type SongsReader = (bytes: Uint8Array) => readonly FoundSong[];

/** A song in a file: the line where it begins, from 1; its number there, `null` where it has none; its title, empty where only reading tells it. */
export interface FoundSong {
  readonly line: number;
  readonly number: number | null;
  readonly title: string;
  readonly read: () => Outcome<SheetRead, SongFault>;
}

/** Why a song cannot be read: a sentence, and its place where there is one. */
export interface SongFault {
  readonly place: Place | null;
  readonly message: string;
}

export type LettersReader = (text: string, options: LetterSheetOptions) => LetterSheet;

/** `song`: a file each; `book`: all songs one after the other. */
export type Writer =
  | { readonly kind: 'song'; readonly load: () => Promise<SongWriter> }
  | { readonly kind: 'book'; readonly load: () => Promise<BookWriter> };

/** A song in the format, and what of it the format cannot say. */
export type SongWriter = (song: Song, wishes: SongWishes) => Outcome<WrittenSong, Unwritable>;

/** What a song's file can have besides the chords. */
export interface SongWishes {
  /** Whether the shape of each chord is written, where the format has a way to. */
  readonly shapes: boolean;
}

export interface WrittenSong {
  readonly content: string | Uint8Array;
  /** Each to be put after “the format cannot say”. */
  readonly lost: readonly string[];
}

/** Why a song cannot be written: a sentence, and what to do. */
export interface Unwritable {
  readonly message: string;
  readonly instead: string;
}

/** All songs as one document. */
export type BookWriter = (book: Book, wishes: BookWishes) => Promise<string | Uint8Array>;

/** Sizes of paper. */
export const papers = ['a4', 'letter'] as const;

/** What can be left blank for a student to fill in; the answers come at the end. */
export const blanks = ['chords', 'shapes'] as const satisfies readonly Blank[];

/** How a book is printed. */
export interface BookWishes {
  readonly paper: (typeof papers)[number];
  readonly large: boolean;
  readonly leftHanded: boolean;
  readonly blank: Blank;
  /** Whether there are lines below each sheet on which a teacher or student marks how it went. */
  readonly marks: boolean;
  /** Reads the font, with the musician's signs, as TrueType files. */
  readonly fonts: () => { readonly regular: Uint8Array; readonly bold: Uint8Array };
}
