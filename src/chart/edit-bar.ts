import { quoted } from '../base/safe-text.js';
import type { BarSource, Chart, Item, Place, Section, SectionLine } from './chart.js';
import { type Fault, Faults, type Reading } from './fault.js';
import { offsetsOf } from './offsets.js';
import { readChart } from './read.js';
import type { SourceLine } from './read-section.js';
import { type Token, tokenize } from './tokens.js';
import { lineText } from './write.js';
import { writtenLines } from './written-lines.js';
import { parseYaml } from './yaml-source.js';

/** Where a bar stands in a file's text: UTF-16 offsets, half open, and what stands there. */
export interface BarText {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/**
 * Finds a written bar in the text of its file. `null` where there is no such bar, and where what was read is not what is
 * written: after a character that YAML writes with others, as in a section within quotes.
 *
 * @example barText(source, chart, { section: 0, line: 0, bar: 2 })?.text // '(1 4)'
 */
export function barText(source: string, chart: Chart, bar: BarSource): BarText | null {
  const item = barItem(chart, bar);
  if (!item) return null;
  const line = sectionLine(source, bar, item.place);
  const within = line && barWithin(line, item.place);
  if (!line || !within) return null;
  const start = offsetsOf(source)(line);
  // The whole line up to the bar's end is compared: the bar alone could be mistaken for an equal one before it.
  if (!source.startsWith(line.text.slice(0, within.to), start)) return null;
  const text = line.text.slice(within.from, within.to);
  return { from: start + within.from, to: start + within.to, text };
}

/** A chart in which a bar was written again. */
export interface EditedBar {
  readonly text: string;
  readonly chart: Chart;
  /** If the next bar was a `=`: the bar that replaced it, so that it sounds as before. `null` if nothing had to be replaced. */
  readonly writtenOut: string | null;
}

/**
 * Replaces a bar by one or several others and reads the whole again. Every other bar sounds as before: a `=` directly after
 * it, which would now repeat another bar, is written out. Nothing else in the file changes.
 */
export function editBar(
  source: string,
  chart: Chart,
  bar: BarSource,
  replacement: string,
): Reading<EditedBar> {
  const edited = replaceBar(source, chart, bar, replacement);
  if (!edited.ok) return edited;
  const unchanged: Reading<EditedBar> = { ...edited, value: { ...edited.value, writtenOut: null } };
  const next = barBehind(chart, bar);
  const before = next && barItem(chart, next);
  if (!next || before?.kind !== 'bar' || !before.same) return unchanged;
  const moved = next.line === bar.line ? { ...next, bar: next.bar + barCount(replacement) - 1 } : next;
  if (playsSame(before, barItem(edited.value.chart, moved))) return unchanged;
  const repeated = repeatedBar(chart, bar);
  const writtenOut = repeated ? (barText(source, chart, repeated)?.text ?? null) : null;
  const kept = writtenOut ? replaceBar(edited.value.text, edited.value.chart, moved, writtenOut) : undefined;
  if (!kept?.ok || !playsSame(before, barItem(kept.value.chart, moved)))
    return refused(before.place, 'the next bar is written = and would change, too; edit the file instead');
  return { ...kept, value: { ...kept.value, writtenOut } };
}

/** Replaces a bar; every other character of the file stays as it is. */
function replaceBar(
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
  if (!onlyHere(chart, read.value, bar, barCount(replacement)))
    return refused(item.place, 'this would change other bars, too; edit the file instead');
  return { ok: true, value: { text, chart: read.value }, faults: read.faults };
}

/** The written bars of a section, in order. */
function barsOf(
  chart: Chart,
  section: number,
): readonly { readonly at: BarSource; readonly same: boolean }[] {
  const written = chart.sections[section];
  return (written ? writtenLines(written) : []).flatMap((items, line) =>
    items
      .filter((item) => item.kind === 'bar')
      .map(({ same }, bar) => ({ at: { section, line, bar }, same })),
  );
}

function placeAmong(bars: ReturnType<typeof barsOf>, { line, bar }: BarSource): number {
  return bars.findIndex(({ at }) => at.line === line && at.bar === bar);
}

/** The bar that is written after another one in its section. */
function barBehind(chart: Chart, bar: BarSource): BarSource | null {
  const bars = barsOf(chart, bar.section);
  return bars[placeAmong(bars, bar) + 1]?.at ?? null;
}

/** The bar that is written out where this one is: itself, or the one that it repeats. */
function repeatedBar(chart: Chart, bar: BarSource): BarSource | null {
  const bars = barsOf(chart, bar.section);
  return bars.slice(0, placeAmong(bars, bar) + 1).findLast(({ same }) => !same)?.at ?? null;
}

function playsSame(one: Item, other: Item | null): boolean {
  return (
    one.kind === 'bar' && other?.kind === 'bar' && JSON.stringify(one.cells) === JSON.stringify(other.cells)
  );
}

function refused(place: Place, message: string): { ok: false; faults: readonly Fault[] } {
  return { ok: false, faults: [{ ...place, severity: 'error', message }] };
}

function barItem(chart: Chart, { section, line, bar }: BarSource): Item | null {
  const written = chart.sections[section];
  const items = (written && writtenLines(written)[line]) ?? [];
  return items.filter((item) => item.kind === 'bar')[bar] ?? null;
}

/** A section's line as YAML gives it to its reader. What comes after the text, a quote or a comma, is none of it. */
function sectionLine(source: string, { section }: BarSource, place: Place): SourceLine | null {
  const yaml = parseYaml(new TextEncoder().encode(source), new Faults());
  const sections = yaml?.entries.find((entry) => entry.name === 'sections')?.value;
  const value = sections?.kind === 'map' ? sections.entries[section]?.value : undefined;
  return (value?.kind === 'text' ? value.lines.find(({ line }) => line === place.line) : undefined) ?? null;
}

/** Where in a line's text the bar stands that begins at a place. */
function barWithin(line: SourceLine, place: Place): { from: number; to: number } | null {
  const tokens = tokenize(line.text, line.line, line.column);
  const first = tokens.findIndex((token) => token.line === place.line && token.column === place.column);
  const token = tokens[first];
  if (!token) return null;
  const from = characters(line.text, token.column - line.column);
  if (token.kind === 'word') return { from, to: from + token.text.length };
  const close = tokens.slice(first).find(({ kind }) => kind === 'close');
  return close ? { from, to: characters(line.text, close.column - line.column + 1) } : null;
}

/** The length of the first `count` characters in UTF-16. */
function characters(text: string, count: number): number {
  return [...text].slice(0, count).join('').length;
}

/** Why a text cannot replace a bar; `null` when it can. */
function unfit(text: string): string | null {
  if (text.trim() === '') return 'an empty bar; a bar without a chord is written nc';
  if (/\p{Cc}/u.test(text)) return 'a bar is written on one line, without control characters';
  const tokens = tokenize(text, 1, 1);
  const brackets = tokens.map(({ kind }) => (kind === 'open' ? 1 : kind === 'close' ? -1 : 0));
  if (brackets.reduce((sum: number, one) => sum + one, 0) !== 0)
    return 'a shared bar is written (1 4), with both brackets';
  const other = tokens.find((token) => !isBarToken(token));
  if (other)
    return `${quoted(tokenText(other))} is not a bar; write only bars here, such as 4, (1 5), 6-~ or nc`;
  return null;
}

function isBarToken({ kind, text }: Token): boolean {
  // A count after a repeat sign is a word too; a backslash would be YAML's in a section within quotes.
  return kind === 'open' || kind === 'close' || (kind === 'word' && !/^@|^x\d+$|\\/.test(text));
}

/** How many bars a text has, if it can replace a bar. */
function barCount(text: string): number {
  let inside = false;
  return tokenize(text, 1, 1).filter(({ kind }) => {
    const begins = kind === 'open' || (kind === 'word' && !inside);
    if (kind !== 'word') inside = kind === 'open';
    return begins;
  }).length;
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

/** Faults in the new bars come before those that they cause elsewhere. */
function hereFirst(faults: readonly Fault[], { line, column }: Place, replacement: string): readonly Fault[] {
  const here = (fault: Fault): boolean =>
    fault.line === line && fault.column >= column && fault.column <= column + [...replacement].length;
  const errors = faults.filter((fault) => fault.severity === 'error');
  return [...errors.filter(here), ...errors.filter((fault) => !here(fault))];
}

/**
 * Whether everything but the bar is as it was, and as many bars stand in its place as were written. Without a space beside
 * it a bar can become a part of its neighbour, and in a section on its name's own line ` #` begins a remark of YAML's.
 */
function onlyHere(before: Chart, after: Chart, bar: BarSource, count: number): boolean {
  if (before.sections.length !== after.sections.length) return false;
  return before.sections.every((one, section) => {
    const other = after.sections[section];
    const lines = linesOf(one);
    const others = other ? linesOf(other) : [];
    if (one.name !== other?.name || lines.length !== others.length) return false;
    return lines.every((own, line) => {
      const now = others[line] as SectionLine;
      if (section !== bar.section || line !== bar.line) return lineText(own, null) === lineText(now, null);
      const at = own.items.indexOf(barItem(before, bar) as Item);
      const written = now.items.slice(at, at + count);
      if (written.length < count || written.some((item) => item.kind !== 'bar')) return false;
      return textWithout(own, at, 1) === textWithout(now, at, count);
    });
  });
}

/** A section's lines; of a derived one its pieces, with what is taken from elsewhere where lines have their comment. */
function linesOf({ derived, lines }: Section): readonly SectionLine[] {
  if (!derived) return lines;
  return derived.map(({ of, take }) =>
    take.kind === 'own'
      ? { items: take.items, comment: null }
      : { items: [], comment: JSON.stringify([of, take]) },
  );
}

/** A line as text, some of its items left out. */
function textWithout({ items, comment }: SectionLine, at: number, count: number): string {
  return lineText({ items: items.toSpliced(at, count), comment }, null);
}
