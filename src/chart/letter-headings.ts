import { jsonText } from '../base/json.js';
import { isChordLine } from './letter-line.js';

const parts =
  'intro|introduction|verse|chorus|refrain|bridge|break|solo|instrumental|interlude|turnaround|pre-?chorus|tag|outro|ending|coda|kick-?off';
/** What parts of a song are called, with a number before or after it. */
const partName = new RegExp(
  `^(?:(?:\\d{1,2}\\.?|1st|2nd|3rd|last|final)\\s+)?(?:${parts})(?:\\s+(?:\\d{1,2}|[A-G]))?$`,
  'i',
);
/** Parts that are called by a letter: `A part`, `Part B`. */
const letterPart = /^(?:[A-H][\s-]part|part\s+[A-H0-9])$/i;

/** The name in a section's heading, or `null` if a line is not one. Headings are `Name:`, `[Name]`, and the usual names of parts. */
export function headingOf(line: string): string | null {
  const match = /^\[([^\]]{1,30})\]:?$|^([^|]{1,30}):$/u.exec(line);
  if (match) return (match[1] ?? match[2] ?? '').trim();
  return partName.test(line) || letterPart.test(line) ? line : null;
}

/** Where a sheet's first line stands that is not blank, from 0, if a blank line follows it: words there are a title. */
export function titleRow(rows: readonly string[]): number | null {
  const first = rows.findIndex((row) => row.trim() !== '');
  return first >= 0 && rows[first + 1]?.trim() === '' ? first : null;
}

/** A heading with a line of chords after it, `Verse: G C D G`: the name, and where the chords begin; otherwise `null`. */
export function headedLine(row: string): { readonly name: string; readonly from: number } | null {
  const match =
    /^\s*([^|:\s][^|:]{0,29}):\s+(?=[^\s:])/u.exec(row) ?? /^\s*([^|:\s–-]{1,30})\s+[–-]\s+(?=\S)/u.exec(row);
  const name = match?.[1]?.trim() ?? '';
  if (!match || /^x\d/i.test(name) || (!match[0].includes(':') && !partName.test(name))) return null;
  return isChordLine(row.slice(match[0].length)) ? { name, from: match[0].length } : null;
}

/** What a line at the head of a sheet says about the song, and the option for it; `null` for other lines. */
export function headLine(line: string): { readonly what: string; readonly flag: string } | null {
  const [, name = '', value = ''] =
    /^(title|key|tempo|bpm|meter|metre|time)\s*[:=]\s*(\S.*)$/i.exec(line) ?? [];
  const what = { bpm: 'tempo', metre: 'meter', time: 'meter' }[name.toLowerCase()] ?? name.toLowerCase();
  return what === ''
    ? null
    : { what, flag: `--${what} ${/^[\w#/=]+$/.test(value) ? value : jsonText(value)}` };
}

/** Rows, from 0, with a single capital from A to G at the beginning of a block: headings of parts, or chords. */
export function loneLetters(rows: readonly string[]): readonly number[] {
  return rows.flatMap((row, at) =>
    /^\s*[A-G]\s*$/.test(row) && (rows[at - 1] ?? '').trim() === '' && rows.length > 1 ? [at] : [],
  );
}

/** Whether such letters are headings: there are several of them, in the order of the alphabet. */
export function areHeadings(rows: readonly string[], lone: readonly number[]): boolean {
  return lone.length > 1 && lone.every((at, index) => rows[at]?.trim() === 'ABCDEFG'[index]);
}
