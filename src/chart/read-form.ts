import { didYouMean } from '../base/nearest.js';
import { fewNames, quoted, safeText } from '../base/safe-text.js';
import type { Key } from '../theory/key.js';
import type { FormEntry, Place } from './chart.js';
import { checkWays } from './check-ways.js';
import type { Faults } from './fault.js';
import { readFormOptions } from './form-options.js';
import { otherWay } from './other-ways.js';
import type { SourceLine } from './read-section.js';
import { looksLikeWay, readWay, wayExamples } from './way-words.js';

/**
 * Reads a form: `kickoff (fiddle), V, C x2, break (me: ring), tag`. Names are checked by `checkForm`. Keys in it are meant while
 * the song is in a `home` key; `null` where that is not known yet.
 */
export function readForm(lines: readonly SourceLine[], faults: Faults, home: Key | null = null): FormEntry[] {
  const entries: FormEntry[] = [];
  const pieces = cutAtCommas(lines);
  for (const piece of pieces) {
    if (piece.text === '') {
      if (pieces.length > 1) faults.error(piece.place, 'an entry of the form is missing next to this comma');
      continue;
    }
    const entry = readEntry(piece.text, piece.place, faults, home);
    if (entry) entries.push(entry);
  }
  return entries;
}

/** Cuts at the commas outside brackets. A piece's place is that of its first character. */
function cutAtCommas(lines: readonly SourceLine[]): { text: string; place: Place }[] {
  const found: { text: string; place: Place }[] = [];
  let depth = 0;
  let text = '';
  let place: Place | null = null;
  let here: Place = lines[0] ?? { line: 1, column: 1 };
  const end = (): void => {
    found.push({ text: text.trim(), place: place ?? here });
    text = '';
    place = null;
  };
  for (const line of lines) {
    let column = line.column;
    for (const character of line.text) {
      here = { line: line.line, column };
      column += 1;
      if (character === '(') depth += 1;
      else if (character === ')') depth = Math.max(0, depth - 1);
      if (character === ',' && depth === 0) {
        end();
        continue;
      }
      if (character.trim() !== '') place ??= here;
      text += character;
    }
    text += ' ';
  }
  end();
  return found;
}

/** Reads `NAME`, `NAME x2`, `NAME (who)`, `NAME (who: pattern) x2`, `NAME (who: pattern, level, bass, key D)`. */
function readEntry(text: string, place: Place, faults: Faults, home: Key | null): FormEntry | null {
  const open = text.indexOf('(');
  const close = text.lastIndexOf(')');
  const head = open < 0 ? text : text.slice(0, open);
  const inner = open < 0 ? '' : text.slice(open + 1, close);
  const behind = open < 0 ? '' : text.slice(close + 1);
  const words = `${head} ${behind}`.split(/\s+/).filter((word) => word !== '');
  const counts = words.filter((word) => /^x\d+$/.test(word));
  const behindOk = behind.trim() === '' || /^x\d+$/.test(behind.trim());
  const names = head.split(/\s+/).filter((word) => word !== '' && !/^x\d+$/.test(word));
  const closed = open < 0 ? close < 0 : close > open && !/[()]/.test(inner);
  if (
    !closed ||
    !behindOk ||
    counts.length > 1 ||
    names.length === 0 ||
    !head.trim().startsWith(names.join(' ').slice(0, 1))
  ) {
    faults.error(
      place,
      `${quoted(text)} is not an entry of a form; write the name of a section, as in V, C x2, break (banjo)`,
    );
    return null;
  }
  const times = Number(counts[0]?.slice(1) ?? 1);
  if (times < 1 || times > 100) {
    faults.error(place, `${quoted(text)}: a section can be played 1 to 100 times`);
    return null;
  }
  const name = names.join(' ');
  const options = readFormOptions(inner, place, faults, home);
  if (!looksLikeWay(`${name} `)) return { section: name, times, ...options, place };
  return wayEntry(name, times, { section: '', times: 1, ...options, place }, faults);
}

/** An entry that begins with “from”: a form word. A section may still be called “from” by itself. */
function wayEntry(name: string, times: number, entry: FormEntry, faults: Faults): FormEntry | null {
  if (name === 'from') return { ...entry, section: name, times };
  const way = readWay(name);
  if (way && times === 1) return { ...entry, way };
  faults.error(
    entry.place,
    way
      ? `${quoted(`${name} x${times}`)}: a jump is played once; write it twice, or leave out the count`
      : (otherWay(name) ??
          `${quoted(name)} is not a jump${didYouMean(name, wayExamples.split(', '))}; the jumps are: ${wayExamples}`),
  );
  return null;
}

/** Reports every entry whose section does not exist, and form words in the wrong place. */
export function checkForm(form: readonly FormEntry[], names: readonly string[], faults: Faults): void {
  const known = new Set(names);
  for (const entry of form) {
    if (entry.way || known.has(entry.section)) continue;
    faults.error(entry.place, () => noSection(entry.section, names, known));
  }
  checkWays(form, faults);
}

/** What to say of an entry whose section does not exist. */
function noSection(section: string, names: readonly string[], known: ReadonlySet<string>): string {
  const way = otherWay(section);
  if (way !== null) return way;
  const entries = otherEntries(section, known);
  if (entries !== null) return `${quoted(section)} is not an entry of a form; write ${quoted(entries)}`;
  const [first] = names;
  const solo =
    first !== undefined && /^(?:break|solo|instrumental|banjo|fiddle|mandolin|guitar)\b/i.test(section)
      ? `; a part led by an instrument is “${safeText(first)} (banjo)”, in another key “${safeText(first)} (banjo, key D)”, or a section of its own: “${safeText(section)}: all of ${safeText(first)}”`
      : '';
  return `there is no section ${quoted(section)}${didYouMean(section, names)}; the sections are: ${fewNames(names) || 'none'}${solo}`;
}

/** Sections with a count, or one after the other, in another notation: `V x 2`, `2x V`, `V V`, `V - V`; `null` for all else. */
function otherEntries(text: string, known: ReadonlySet<string>): string | null {
  if (text.length > 200) return null;
  const [, behind, times] = /^(.*\S) ?[x×*] ?(\d+)$/iu.exec(text) ?? [];
  if (behind !== undefined && times !== undefined && known.has(behind.trim()))
    return `${behind.trim()} x${times}`;
  const [, often, name] = /^(\d+) ?[x×*]? ?(\S.*)$/iu.exec(text) ?? [];
  if (name !== undefined && known.has(name)) return `${name} x${often}`;
  const pieces = text.split(/ ?[-–—→>+/|;] ?| /u).filter((piece) => piece !== '');
  return pieces.length > 1 && pieces.every((piece) => known.has(piece)) ? pieces.join(', ') : null;
}
