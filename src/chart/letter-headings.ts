const parts =
  'intro|introduction|verse|chorus|refrain|bridge|break|solo|instrumental|interlude|turnaround|pre-?chorus|tag|outro|ending|coda|kick-?off';
/** What parts of a song are called, with a number before or behind it. */
const partName = new RegExp(
  `^(?:(?:\\d{1,2}\\.?|1st|2nd|3rd|last|final)\\s+)?(?:${parts})(?:\\s+(?:\\d{1,2}|[A-G]))?$`,
  'i',
);
/** Parts that are called by a letter: `A part`, `Part B`. */
const letterPart = /^(?:[A-H][\s-]part|part\s+[A-H0-9])$/i;

/** The name in a section's heading, or `null` where a line is none. `Name:` and `[Name]` are headings, and what parts mostly are called. */
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
