import { statSync } from 'node:fs';
import type { Outcome } from '../base/outcome.js';
import { safeText } from '../base/safe-text.js';
import { mostTold } from '../chart/fault.js';
import { Oversized, readInput, Unreadable } from '../config/files.js';
import { decodedText } from '../exchange/decoded-text.js';
import type { SongFault } from '../exchange/format.js';
import { formatOfFile, type ReadFormat } from '../exchange/formats.js';
import type { Remark } from '../exchange/lead-sheet.js';
import { exit, printDocument, Stop, say } from './exit.js';

/** The most that is read of a file in another format, bytes. */
const importLimit = 16 << 20;

/** A file in another format and which one that is. Throws `Stop` when there is nothing to read. */
export function openForImport(file: string): { readonly bytes: Uint8Array; readonly format: ReadFormat } {
  const bytes = readForImport(file);
  return { bytes, format: formatOfFile(file, decodedText(bytes)) };
}

/** Whether a path is that of a folder, or of a link to one. */
export function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    // Reading it says why.
    return false;
  }
}

function readForImport(file: string): Uint8Array {
  try {
    return readInput(file, importLimit);
  } catch (error) {
    if (error instanceof Oversized) throw new Stop(exit.input, safeText(error.message));
    if (error instanceof Unreadable) throw new Stop(exit.call, safeText(error.message));
    throw error;
  }
}

/** Why a song cannot be read, with its place where there is one. */
export function faultSentence(file: string, { place, message }: SongFault): string {
  return place ? `${file}:${place.line}:${place.column}: ${message}` : `${file}: ${message}`;
}

/** Prints a chart's text; where there is none, ends with why. */
export function printChart(file: string, written: Outcome<string>): number {
  if (!written.ok)
    throw new Stop(
      exit.input,
      `${safeText(file)}: ${written.fault.message}`,
      'correct the file, or write a chart by hand',
    );
  printDocument(written.value);
  return exit.done;
}

/** Reports what was left out or read differently: the first hundred, and how many more there are. */
export function tellRemarks(file: string, remarks: readonly Remark[]): void {
  for (const { place, message } of remarks.slice(0, mostTold))
    say(`${safeText(file)}:${place.line}:${place.column}: ${safeText(message)}`);
  if (remarks.length > mostTold) say(`${safeText(file)}: and ${remarks.length - mostTold} more like these`);
}

/** What is said about a song that is only a melody. */
export const withoutChords = 'has no chords: its bars are “nc”, with the tune; replace them with numbers';
