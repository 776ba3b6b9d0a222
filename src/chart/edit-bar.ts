import { quoted } from '../base/safe-text.js';
import type { BarSource, Chart, Item, Place } from './chart.js';
import type { Fault, Reading } from './fault.js';
import { readChart } from './read.js';
import { type Token, tokenize } from './tokens.js';

/** Where a bar stands in a file's text: UTF-16 offsets, half open, and what stands there. */
export interface BarText {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/**
 * Finds a written bar in the text of its file. `null` where the text there is no bar: in a section written within quotes,
 * whose characters are not where they seem to be.
 *
 * @example barText(source, chart, { section: 0, line: 0, bar: 2 })?.text // '(1 4)'
 */
export function barText(source: string, chart: Chart, bar: BarSource): BarText | null {
  const item = barItem(chart, bar);
  if (!item) return null;
  const from = offsetOf(source, item.place);
  const end = source.slice(from).search(/[\r\n]/);
  const line = end < 0 ? source.slice(from) : source.slice(from, from + end);
  const length = barLength(line);
  // No bar has a backslash: it is YAML's, and the characters are others than those that were read.
  if (length === null || line.slice(0, length).includes('\\')) return null;
  return { from, to: from + length, text: line.slice(0, length) };
}

/**
 * Puts other bars in the place of one, every other character of the file staying as it is, and reads the whole again.
 * What may be written is one bar or several; everything else of a line stands where it stood.
 */
export function editBar(
  source: string,
  chart: Chart,
  bar: BarSource,
  replacement: string,
): Reading<{ readonly text: string; readonly chart: Chart }> {
  const at = barText(source, chart, bar);
  const item = barItem(chart, bar);
  if (!at || !item) return refused({ line: 1, column: 1 }, 'this bar cannot be found in its file');
  const wrong = unfit(replacement);
  if (wrong !== null) return refused(item.place, wrong);
  const text = source.slice(0, at.from) + replacement + source.slice(at.to);
  const read = readChart(new TextEncoder().encode(text));
  if (!read.ok) return { ok: false, faults: hereFirst(read.faults, item.place, replacement) };
  if (!onlyHere(chart, read.value, bar))
    return refused(item.place, 'this would change other bars too; edit the file');
  return { ok: true, value: { text, chart: read.value }, faults: read.faults };
}

function refused(place: Place, message: string): { ok: false; faults: readonly Fault[] } {
  return { ok: false, faults: [{ ...place, severity: 'error', message }] };
}

function barItem(chart: Chart, { section, line, bar }: BarSource): Item | null {
  const items = chart.sections[section]?.lines[line]?.items ?? [];
  return items.filter((item) => item.kind === 'bar')[bar] ?? null;
}

/** The offset of a place, whose column counts characters; a byte order mark is none of them. */
function offsetOf(source: string, { line, column }: Place): number {
  let at = source.startsWith('\ufeff') ? 1 : 0;
  for (let current = 1; current < line; current += 1) {
    const next = source.indexOf('\n', at);
    if (next < 0) return source.length;
    at = next + 1;
  }
  for (let current = 1; current < column && at < source.length; current += 1)
    at += (source.codePointAt(at) as number) > 0xffff ? 2 : 1;
  return at;
}

/** How long the bar is that a text begins with; `null` where it begins with none. */
function barLength(line: string): number | null {
  const tokens = tokenize(line, 1, 1);
  const [first] = tokens;
  if (first?.column !== 1) return null;
  if (first.kind === 'word') return first.text.startsWith('@') ? null : first.text.length;
  if (first.kind !== 'open') return null;
  const close = tokens.find((token) => token.kind === 'close');
  return close ? characters(line, close.column) : null;
}

/** The length of the first `count` characters in UTF-16. */
function characters(text: string, count: number): number {
  return [...text].slice(0, count).join('').length;
}

/** Why a text cannot stand for a bar; `null` when it can. */
function unfit(text: string): string | null {
  if (text.trim() === '') return 'an empty bar; a bar without a chord is written nc';
  if (/\p{Cc}/u.test(text)) return 'a bar is written on one line, without control characters';
  const tokens = tokenize(text, 1, 1);
  const brackets = tokens.map(({ kind }) => (kind === 'open' ? 1 : kind === 'close' ? -1 : 0));
  if (brackets.reduce((sum: number, one) => sum + one, 0) !== 0)
    return 'a shared bar is written (1 4), with both brackets';
  const other = tokens.find((token) => !isBarToken(token));
  if (other)
    return `only bars are written here, such as 4, (1 5), 6-~ or nc; ${quoted(tokenText(other))} is none`;
  return null;
}

function isBarToken({ kind, text }: Token): boolean {
  return kind === 'open' || kind === 'close' || (kind === 'word' && !text.startsWith('@'));
}

function tokenText({ kind, text }: Token): string {
  const signs: Partial<Record<Token['kind'], string>> = {
    'ending-open': `[${text}`,
    'ending-close': ']',
    cue: `"${text}"`,
    'unended-cue': `"${text}`,
    comment: `;${text}`,
  };
  return signs[kind] ?? text;
}

/** Faults in what was written go before those that it causes elsewhere. */
function hereFirst(faults: readonly Fault[], { line, column }: Place, replacement: string): readonly Fault[] {
  const here = (fault: Fault): boolean =>
    fault.line === line && fault.column >= column && fault.column <= column + [...replacement].length;
  const errors = faults.filter((fault) => fault.severity === 'error');
  return [...errors.filter(here), ...errors.filter((fault) => !here(fault))];
}

/** Whether all other lines have as many bars as before, and this one what was put into it. */
function onlyHere(before: Chart, after: Chart, { section, line }: BarSource): boolean {
  if (before.sections.length !== after.sections.length) return false;
  return before.sections.every((one, index) => {
    const other = after.sections[index];
    if (!other || one.name !== other.name || one.lines.length !== other.lines.length) return false;
    return one.lines.every((own, at) => {
      const same = own.items.length === other.lines[at]?.items.length;
      return same || (index === section && at === line);
    });
  });
}
