import {
  Alias,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  type Pair,
  parseDocument,
  type Scalar,
  visit,
} from 'yaml';
import { quoted } from '../base/safe-text.js';
import type { Place } from './chart.js';
import type { Faults } from './fault.js';
import type { SourceLine } from './read-section.js';

/** The most bytes a chart or set may have. */
export const sizeLimit = 1 << 20;

/** A YAML file that was read, with places. All scalars are text; aliases and tags are refused. */
export interface YamlSource {
  readonly entries: readonly Entry[];
}

/** One `name: value` of a map. */
export interface Entry {
  readonly name: string;
  readonly place: Place;
  readonly value: Value;
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
  const counter = new LineCounter();
  const document = parse(text, counter, faults);
  if (!document) return null;
  const place = (offset: number): Place => placeAt(text, counter, offset);
  for (const error of document.errors)
    faults.error(place(error.pos[0]), yamlSentence(error.code, error.message));
  refuseAliases(document, place, faults);
  if (faults.failed) return null;
  if (!isMap(document.contents)) {
    faults.error(
      { line: 1, column: 1 },
      'this is no chart, set or instrument; a chart starts with lines such as “title: …” and “key: A”',
    );
    return null;
  }
  const entries = entriesOf(document.contents, text, place);
  refuseDoubles(entries, faults);
  return { entries };
}

function decode(bytes: Uint8Array, faults: Faults): string | null {
  const start = { line: 1, column: 1 };
  if (bytes.length > sizeLimit) {
    faults.error(
      start,
      `the file has ${(bytes.length / (1 << 20)).toFixed(1)} MiB; a chart has at most 1 MiB`,
    );
    return null;
  }
  const zero = bytes.indexOf(0);
  if (zero >= 0) {
    faults.error(
      lineOf(bytes, zero),
      'the file is not text (it holds a zero byte); a chart is a plain text file in UTF-8',
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
  return { line, column: at - start + 1 };
}

function parse(text: string, counter: LineCounter, faults: Faults): Document.Parsed | null {
  try {
    return parseDocument(text, {
      schema: 'failsafe',
      lineCounter: counter,
      prettyErrors: false,
      logLevel: 'silent',
      uniqueKeys: false,
    });
  } catch {
    faults.error(
      { line: 1, column: 1 },
      'the file nests too deeply to be a chart; a section is plain text behind “|”',
    );
    return null;
  }
}

function placeAt(text: string, counter: LineCounter, offset: number): Place {
  const { line, col } = counter.linePos(Math.min(offset, text.length));
  if (line === 0) return { line: 1, column: 1 };
  // Beyond a screen or two of one line, exact columns are not worth the time of counting them.
  if (col > 2000) return { line, column: col };
  const start = counter.lineStarts[line - 1] ?? 0;
  return { line, column: [...text.slice(start, start + col - 1)].length + 1 };
}

const sentences: Readonly<Record<string, string>> = {
  TAB_AS_INDENT: 'a tab indents this line; use spaces',
  BLOCK_AS_IMPLICIT_KEY: 'a “name: value” within a value; a section’s bars stand below “name: |”, indented',
  BAD_INDENT: 'the indentation does not fit the lines before; entries of one group start in the same column',
  MISSING_CHAR: 'something is not closed here: a quote, bracket or brace, or the colon behind a name',
  UNEXPECTED_TOKEN: 'this cannot stand here; a value with : # [ { or quotes in it goes in “double quotes”',
  MULTIPLE_DOCS: 'a second document starts here; one file holds one chart',
};

function yamlSentence(code: string, message: string): string {
  return (
    sentences[code] ?? `this is not readable as YAML: ${message.split('\n')[0]?.replace(/[.:]? *$/, '')}`
  );
}

function refuseAliases(document: Document.Parsed, place: (offset: number) => Place, faults: Faults): void {
  visit(document, {
    Node(_, node) {
      const at = place(node.range?.[0] ?? 0);
      if (isAlias(node)) faults.error(at, 'an alias (*name); write the value out');
      else if (!(node instanceof Alias) && node.anchor)
        faults.error(at, 'an anchor (&name); charts have none');
      else if (node.tag?.startsWith('!')) faults.error(at, 'a tag (!name); charts have none');
    },
  });
}

function entriesOf(
  map: { items: Pair<unknown, unknown>[] },
  text: string,
  place: (offset: number) => Place,
): Entry[] {
  return map.items.map((pair) => {
    const key = pair.key as Node | null;
    const at = place(key?.range?.[0] ?? 0);
    const name = isScalar(key) ? String(key.value ?? '') : '';
    return { name, place: at, value: readValue(pair.value as Node | null, at, text, place) };
  });
}

/** Our own check: the library's compares every name with every other. */
function refuseDoubles(entries: readonly Entry[], faults: Faults): void {
  const seen = new Set<string>();
  for (const entry of entries) {
    if (seen.has(entry.name))
      faults.error(entry.place, `${quoted(entry.name)} stands twice; one of them must go`);
    seen.add(entry.name);
    if (entry.value.kind === 'map') refuseDoubles(entry.value.entries, faults);
  }
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

/** A literal block's lines stand one for one in the file; a value on one line starts where it is written. */
function linesOf(node: Scalar, content: string, text: string, at: Place): SourceLine[] {
  if (node.type !== 'BLOCK_LITERAL') {
    const quote = node.type === 'QUOTE_DOUBLE' || node.type === 'QUOTE_SINGLE' ? 1 : 0;
    return [{ text: content, line: at.line, column: at.column + quote }];
  }
  const start = node.range?.[0] ?? 0;
  const raw = text.slice(text.indexOf('\n', start) + 1, node.range?.[1]).split('\n');
  const own = content.split('\n');
  while (own.length > 0 && own.at(-1) === '') own.pop();
  const firstFull = own.findIndex((line) => line.trim() !== '');
  const indent =
    firstFull < 0
      ? 0
      : Math.max(0, (raw[firstFull] ?? '').replace(/\r$/, '').length - (own[firstFull] ?? '').length);
  return own.map((line, index) => ({
    text: line.replace(/\r$/, ''),
    line: at.line + 1 + index,
    column: indent + 1,
  }));
}
