import { didYouMean } from '../base/nearest.js';
import { quoted } from '../base/safe-text.js';
import type { Excerpt, FormEntry, Place } from './chart.js';
import type { Faults } from './fault.js';

/** Reads a form: `kickoff (fiddle), V, C x2, break (me: ring), tag`. Names are checked by `checkForm`. */
export function readForm(text: string, start: Place, faults: Faults): FormEntry[] {
  const entries: FormEntry[] = [];
  for (const piece of pieces(text)) {
    const place = { line: start.line, column: start.column + piece.at };
    if (piece.text === '') {
      if (text.trim() !== '') faults.error(place, 'an entry of the form is missing between two commas');
      continue;
    }
    const entry = readEntry(piece.text, place, faults);
    if (entry) entries.push(entry);
  }
  return entries;
}

/** Splits at the commas outside brackets; `at` counts characters from the text's start. */
function pieces(text: string): { text: string; at: number }[] {
  const found: { text: string; at: number }[] = [];
  let depth = 0;
  let start = 0;
  const characters = [...text];
  characters.push(',');
  characters.forEach((character, index) => {
    if (character === '(') depth += 1;
    else if (character === ')') depth = Math.max(0, depth - 1);
    if (index < characters.length - 1 && (character !== ',' || depth > 0)) return;
    const piece = characters.slice(start, index);
    const lead = piece.findIndex((one) => one.trim() !== '');
    found.push({ text: piece.join('').trim(), at: start + Math.max(0, lead) });
    start = index + 1;
  });
  return found;
}

const entryPattern = /^([^()]*?)(?:\s+x(\d+))?\s*(?:\(([^()]*)\))?(?:\s+x(\d+))?$/u;

function readEntry(text: string, place: Place, faults: Faults): FormEntry | null {
  const match = entryPattern.exec(text);
  const section = match?.[1]?.trim() ?? '';
  if (!match || section === '') {
    faults.error(
      place,
      `${quoted(text)} is no entry of a form; write a section’s name, as in V, C x2, break (banjo)`,
    );
    return null;
  }
  const times = Number(match[2] ?? match[4] ?? 1);
  if (times < 1 || times > 100) {
    faults.error(place, `${quoted(text)}: a section is played from 1 to 100 times`);
    return null;
  }
  const [who = '', pattern = ''] = (match[3] ?? '').split(':').map((one) => one.trim());
  return { section, times, who: who || null, pattern: pattern || null, place };
}

/** Tells every entry whose section does not exist. */
export function checkForm(form: readonly FormEntry[], names: readonly string[], faults: Faults): void {
  for (const entry of form) {
    if (names.includes(entry.section)) continue;
    faults.error(
      entry.place,
      `there is no section ${quoted(entry.section)}${didYouMean(entry.section, names)}; sections are: ${names.join(', ') || 'none'}`,
    );
  }
}

const excerptPattern = /^(?:(all)|(first|last)\s+(\d+)|bars\s+(\d+)\s*-\s*(\d+))\s+of\s+(\S.*)$/;

/** Whether a section's text says what it is made of rather than its bars. */
export function looksDerived(text: string): boolean {
  return /^\s*(?:all|first|last|bars)\s/.test(text);
}

/** Reads a derived section: `last 4 of C`, `all of V + first 8 of C`, `bars 3-6 of V`. */
export function readDerived(text: string, place: Place, faults: Faults): Excerpt[] {
  const excerpts: Excerpt[] = [];
  for (const piece of text.split('+')) {
    const match = excerptPattern.exec(piece.trim());
    if (!match) {
      faults.error(
        place,
        `${quoted(piece.trim())} takes nothing from a section; write “last 4 of C”, “first 8 of V”, “bars 3-6 of V” or “all of V”`,
      );
      continue;
    }
    const [, all, side, bars, from, to, of = ''] = match;
    if (all) excerpts.push({ of, take: { kind: 'all' } });
    else if (side) excerpts.push({ of, take: { kind: side as 'first' | 'last', bars: Number(bars) } });
    else excerpts.push({ of, take: { kind: 'bars', from: Number(from), to: Number(to) } });
  }
  return excerpts;
}
