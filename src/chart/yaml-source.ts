import {
  Alias,
  type Document,
  isAlias,
  isMap,
  isPair,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  parseDocument,
  type Scalar,
  visit,
} from 'yaml';
import { quoted, safeText } from '../base/safe-text.js';
import type { Place } from './chart.js';
import type { Faults } from './fault.js';
import type { SourceLine } from './read-section.js';

/** The most bytes a chart or set may have. */
export const sizeLimit = 1 << 20;

/** How deep lists and maps may stand within each other; what the program reads is four deep. */
const deepest = 100;

/** A YAML file that was read, with places. All scalars are text; aliases and tags are refused. */
export interface YamlSource {
  readonly entries: readonly Entry[];
  /** The comment lines at the end of the file, without their `#`. */
  readonly lastRemarks: readonly string[];
}

/** One `name: value` of a map. */
export interface Entry {
  readonly name: string;
  readonly place: Place;
  readonly value: Value;
  /** The comment lines before it and after it on its line, without their `#`. */
  readonly remarks: readonly string[];
}

/** A value in a YAML file. `lines` are the value's own lines with their places in the file. */
export type Value = { readonly place: Place } & (
  | {
      readonly kind: 'text';
      readonly text: string;
      readonly lines: readonly SourceLine[];
      readonly folded: boolean;
    }
  | { readonly kind: 'map'; readonly entries: readonly Entry[] }
  | { readonly kind: 'list'; readonly values: readonly Value[] }
  | { readonly kind: 'nothing' }
);

/**
 * Decodes and parses a YAML map. `null` when it cannot be read as one; the faults say why.
 * Never throws, whatever the bytes are.
 */
export function parseYaml(bytes: Uint8Array, faults: Faults): YamlSource | null {
  const text = decode(bytes, faults);
  if (text === null) return null;
  const document = parse(text, faults);
  if (!document) return null;
  const place = placer(text);
  for (const error of document.errors)
    faults.error(place(error.pos[0]), () => yamlSentence(error.code, error.message));
  refuseAliases(document, place, faults);
  if (faults.failed) return null;
  if (!isMap(document.contents)) {
    faults.error(
      { line: 1, column: 1 },
      'this is not a chart, set or instrument; a chart starts with lines such as “title: …” and “key: A”',
    );
    return null;
  }
  const entries = entriesOf(document.contents, text, place, remarksOf(document.commentBefore));
  refuseDoubles(entries, faults);
  return { entries, lastRemarks: remarksOf(document.comment) };
}

function decode(bytes: Uint8Array, faults: Faults): string | null {
  const start = { line: 1, column: 1 };
  if (bytes.length > sizeLimit) {
    faults.error(
      start,
      `the file has ${(bytes.length / (1 << 20)).toFixed(1)} MiB; a chart can have at most 1 MiB`,
    );
    return null;
  }
  const zero = bytes.indexOf(0);
  if (zero >= 0) {
    faults.error(
      lineOf(bytes, zero),
      'the file is not text (it contains a zero byte); a chart is a plain text file in UTF-8',
    );
    return null;
  }
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    faults.error(lineOf(bytes, firstBadByte(bytes)), 'the file is not UTF-8 text; save it as UTF-8');
    return null;
  }
}

function firstBadByte(bytes: Uint8Array): number {
  let low = 0;
  let high = bytes.length;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    try {
      new TextDecoder('utf-8', { fatal: true }).decode(bytes.subarray(0, middle), { stream: true });
      low = middle;
    } catch {
      high = middle - 1;
    }
  }
  return low;
}

function lineOf(bytes: Uint8Array, at: number): Place {
  let line = 1;
  let start = 0;
  for (let index = 0; index < at; index += 1) {
    if (bytes[index] === 10) {
      line += 1;
      start = index + 1;
    }
  }
  const before = new TextDecoder().decode(bytes.subarray(start, at));
  return { line, column: [...before].length + 1 };
}

function parse(text: string, faults: Faults): Document.Parsed | null {
  // The library makes an error object for each fault. Its stack trace is of no use, and making it takes nearly all the time.
  const traces = Error.stackTraceLimit;
  Error.stackTraceLimit = 0;
  try {
    const document = parseDocument(shieldForm(text), {
      schema: 'failsafe',
      prettyErrors: false,
      logLevel: 'error',
      uniqueKeys: false,
    });
    // The library catches its own stack overflow, and goes on with wrong data.
    if (!document.errors.some((error) => /call stack/.test(error.message)) && !isDeep(document.contents))
      return document;
  } catch {
    // Told below: only a file that nests too deeply makes the library fail.
  } finally {
    Error.stackTraceLimit = traces;
  }
  faults.error(
    { line: 1, column: 1 },
    'the file is nested too deeply for a chart; a section is plain text after “|”',
  );
  return null;
}

/** Whether anything nests deeper than is read. Without recursion, since what reads it afterwards goes down level by level. */
function isDeep(contents: unknown): boolean {
  let level: unknown[] = [contents];
  for (let depth = 0; level.length > 0; depth += 1) {
    if (depth > deepest) return true;
    const inner: unknown[] = [];
    for (const node of level) {
      if (isSeq(node)) for (const item of node.items) inner.push(item);
      else if (isMap(node)) for (const { key, value } of node.items) inner.push(key, value);
      // Within a list a name with its value may stand without a map of its own.
      else if (isPair(node)) inner.push(node.key, node.value);
    }
    level = inner;
  }
  return false;
}

/**
 * `(me: ring)` in a form is a name and a value to YAML, which forbids them there. A space that cannot part
 * them, as long as the one it replaces, keeps the form plain text; the form's reader takes it for a space.
 */
function shieldForm(text: string): string {
  return text.replace(
    /^form:[ \t]+[^\s"'|>[{&*!][^\n]*(?:\n[ \t]+[^\n]*)*/m,
    (form) => form.slice(0, 5) + form.slice(5).replace(/: /g, ':\u00a0'),
  );
}

/** Turns offsets into places. Its own line starts: the library's are incomplete where it gave up on a line. */
function placer(text: string): (offset: number) => Place {
  const starts = [0];
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) starts.push(at + 1);
  // Characters that take two places in a JavaScript string: a column counts them once.
  const pairs = Array.from(text.matchAll(/[\u{10000}-\u{10ffff}]/gu), ({ index }) => index);
  return (offset) => {
    const within = Math.min(offset, text.length);
    const line = countBelow(starts, within + 1);
    const start = starts[line - 1] as number;
    const doubled = countBelow(pairs, within - 1) - countBelow(pairs, start);
    return { line, column: within - start - Math.max(0, doubled) + 1 };
  };
}

/** How many of some ascending numbers are below a limit. */
function countBelow(numbers: readonly number[], limit: number): number {
  let low = 0;
  let high = numbers.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((numbers[middle] as number) < limit) low = middle + 1;
    else high = middle;
  }
  return low;
}

const sentences: Readonly<Record<string, string>> = {
  TAB_AS_INDENT: 'a tab indents this line; use spaces',
  BLOCK_AS_IMPLICIT_KEY:
    'there is a “name: value” inside a value; write the bars of a section below “name: |”, indented',
  BAD_INDENT:
    'the indentation does not match the lines before; entries of one group start in the same column',
  MISSING_CHAR:
    'something is not finished here: a quote, bracket or brace is not closed, or the colon after a name is missing',
  UNEXPECTED_TOKEN:
    'this cannot be written here; put a value that has : # [ { or quotes in it in “double quotes”',
  MULTIPLE_DOCS: 'a second document starts here; one file holds one chart',
};

function yamlSentence(code: string, message: string): string {
  if (/must be sufficiently indented and end with/.test(message)) return sentences.MISSING_CHAR as string;
  const plain = message.split('\n')[0]?.replace(/[.:]? *$/, '') ?? '';
  return sentences[code] ?? `this is not readable as YAML: ${safeText(plain.slice(0, 120))}`;
}

function refuseAliases(document: Document.Parsed, place: (offset: number) => Place, faults: Faults): void {
  visit(document, {
    Node(_, node) {
      const at = place(node.range?.[0] ?? 0);
      if (isAlias(node)) faults.error(at, 'this is an alias (*name); write out the value');
      else if (!(node instanceof Alias) && node.anchor)
        faults.error(at, 'this is an anchor (&name), which charts do not have; write out the value');
      else if (node.tag) faults.error(at, 'this is a tag (!name), which charts do not have; leave it out');
    },
  });
}

function entriesOf(
  map: YamlMap,
  text: string,
  place: (offset: number) => Place,
  before: readonly string[] = [],
): Entry[] {
  return map.items.map((pair, index) => {
    const key = pair.key as Node | null;
    const value = pair.value as Node | null;
    const at = place(key?.range?.[0] ?? 0);
    const name = isScalar(key) ? String(key.value ?? '') : '';
    // What comes before a map's first name belongs, to the library, to the map.
    const lead = index === 0 ? [...before, ...remarksOf(map.commentBefore)] : [];
    const own = isMap(value)
      ? remarksOf(value.comment)
      : [...remarksOf(value?.commentBefore), ...remarksOf(value?.comment)];
    const remarks = [...lead, ...remarksOf(key?.commentBefore), ...own];
    return { name, place: at, value: readValue(value, at, text, place), remarks };
  });
}

/** The part of the library's map that is used. */
interface YamlMap {
  readonly items: Pair<unknown, unknown>[];
  readonly commentBefore?: string | null | undefined;
}

/** A comment's lines, without their `#`. */
function remarksOf(comment: string | null | undefined): string[] {
  return comment ? comment.split('\n') : [];
}

/** Our own check: the library's compares every name with every other. */
function refuseDoubles(entries: readonly Entry[], faults: Faults): void {
  const seen = new Set<string>();
  for (const entry of entries) {
    if (seen.has(entry.name))
      faults.error(entry.place, `${quoted(entry.name)} is given twice; remove one of them`);
    seen.add(entry.name);
    refuseDoublesWithin(entry.value, faults);
  }
}

function refuseDoublesWithin(value: Value, faults: Faults): void {
  if (value.kind === 'map') refuseDoubles(value.entries, faults);
  else if (value.kind === 'list') for (const one of value.values) refuseDoublesWithin(one, faults);
}

function readValue(
  node: Node | null,
  fallback: Place,
  text: string,
  place: (offset: number) => Place,
): Value {
  const at = node?.range ? place(node.range[0]) : fallback;
  if (isMap(node)) return { kind: 'map', entries: entriesOf(node, text, place), place: at };
  if (isSeq(node))
    return {
      kind: 'list',
      values: node.items.map((item) => readValue(item as Node, at, text, place)),
      place: at,
    };
  if (isScalar(node)) {
    const content = String(node.value ?? '');
    if (content === '' && node.type === 'PLAIN') return { kind: 'nothing', place: at };
    return {
      kind: 'text',
      text: content,
      lines: linesOf(node as Scalar, content, text, at),
      folded: foldsLines(node as Scalar, text),
      place: at,
    };
  }
  return { kind: 'nothing', place: at };
}

function foldsLines(node: Scalar, text: string): boolean {
  if (node.type === 'BLOCK_FOLDED') return true;
  if (node.type === 'BLOCK_LITERAL' || !node.range) return false;
  return text.slice(node.range[0], node.range[1]).includes('\n');
}

/** A value's own lines. Those of a block stand one for one in the file; a value on one line starts where it is written. */
function linesOf(node: Scalar, content: string, text: string, at: Place): SourceLine[] {
  const [start = 0, end] = node.range ?? [];
  if (node.type === 'BLOCK_LITERAL')
    return blockLines(content, text.slice(text.indexOf('\n', start) + 1, end), at.line);
  const quote = node.type === 'QUOTE_DOUBLE' || node.type === 'QUOTE_SINGLE' ? 1 : 0;
  const raw =
    node.type === 'BLOCK_FOLDED'
      ? text.slice(text.indexOf('\n', start) + 1, end)
      : text.slice(start + quote, (end ?? 0) - quote);
  if (!raw.includes('\n')) return [{ text: content, line: at.line, column: at.column + quote }];
  const first = node.type === 'BLOCK_FOLDED' ? at.line + 1 : at.line;
  return raw.split('\n').map((line, index) => {
    const indent = line.length - line.trimStart().length;
    const column = index === 0 && node.type !== 'BLOCK_FOLDED' ? at.column + quote : indent + 1;
    return { text: line.trim(), line: first + index, column };
  });
}

function blockLines(content: string, source: string, headLine: number): SourceLine[] {
  const raw = source.split('\n');
  const lines = content.split('\n');
  while (lines.length > 0 && lines.at(-1) === '') lines.pop();
  const firstFull = lines.findIndex((line) => line.trim() !== '');
  const full = (raw[firstFull] ?? '').replace(/\r$/, '');
  const indent = firstFull < 0 ? 0 : Math.max(0, full.length - (lines[firstFull] ?? '').length);
  // A blank line may be shorter than the indentation: its place is then where it ends.
  return lines.map((line, index) => ({
    text: line.replace(/\r$/, ''),
    line: headLine + 1 + index,
    column: Math.min(indent, (raw[index] ?? '').length) + 1,
  }));
}
