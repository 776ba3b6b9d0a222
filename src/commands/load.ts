import { basename, dirname, resolve } from 'node:path';
import { good, misread, type Outcome } from '../base/outcome.js';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import type { Fault, Untold } from '../chart/fault.js';
import { Oversized, readInput, Unreadable } from '../config/files.js';
import { type DocumentContent, readDocument } from '../setlist/document.js';
import type { SetList } from '../setlist/set.js';
import { isPlanText } from '../shed/plan-file.js';
import { exit, Stop, say } from './exit.js';

/** What reading a file gave: its content when it is good, and its faults with the lines they stand in. */
export interface Loaded {
  readonly file: string;
  readonly content: DocumentContent | null;
  readonly faults: readonly Fault[];
  /** How many more there are, if not all are reported. */
  readonly untold?: Untold;
  readonly lines: readonly string[];
  /** The file's text as written, a byte order mark kept; empty where it is none. */
  readonly text: string;
}

/** Reads a file whatever it holds. Throws `Stop` only when there is nothing to read. */
export function load(file: string): Loaded {
  let bytes: Uint8Array;
  try {
    bytes = readInput(file);
  } catch (error) {
    if (error instanceof Oversized) {
      return {
        file,
        content: null,
        lines: [],
        text: '',
        faults: [{ line: 1, column: 1, severity: 'error', message: error.message }],
      };
    }
    if (error instanceof Unreadable)
      throw new Stop(
        exit.call,
        safeText(error.message),
        'name a chart or set file; barkline without arguments lists the demo charts',
      );
    throw error;
  }
  if (isPlanText(bytes)) {
    const message = 'this is a practice plan, not a chart or a set; barkline shed today --plan FILE runs it';
    return {
      file,
      content: null,
      lines: [],
      text: '',
      faults: [{ line: 1, column: 1, severity: 'error', message }],
    };
  }
  const read = readDocument(bytes);
  const text = new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);
  const lines = read.faults.length > 0 ? text.replace(/^\ufeff/, '').split('\n') : [];
  const { faults, untold } = read;
  return { file, content: read.ok ? read.value : null, faults, lines, text, ...(untold ? { untold } : {}) };
}

/** A fault as an editor and a person can use it, a line each: place and sentence, the line, and a caret. */
export function faultText({ file, lines }: Pick<Loaded, 'file' | 'lines'>, fault: Fault): readonly string[] {
  const head = `${safeText(file)}:${fault.line}:${fault.column}: ${fault.severity}: ${fault.message}`;
  const line = lines[fault.line - 1]?.replace(/\r$/, '');
  if (line === undefined || line.trim() === '') return [head];
  const start = Math.max(0, fault.column - 60);
  const shown = safeText(charactersOf(line, start, start + 100)).replace(/␉/g, ' ');
  return [head, `    ${shown}`, `    ${' '.repeat(fault.column - 1 - start)}^`];
}

/** Characters of a line, without taking apart what comes after them: a line can have a million. */
function charactersOf(line: string, from: number, to: number): string {
  let shown = '';
  let at = 0;
  for (const character of line) {
    if (at >= to) break;
    if (at >= from) shown += character;
    at += 1;
  }
  return shown;
}

/** Reads a file that must be good; its mistakes are reported on stderr. */
export function loadGood(file: string): DocumentContent {
  return loadGoodText(file).content;
}

/** Reads a file that must be good, with its text as written. */
export function loadGoodText(file: string): { readonly content: DocumentContent; readonly text: string } {
  const loaded = load(file);
  const hindering = loaded.content
    ? loaded.faults.filter((fault) => fault.severity === 'error')
    : loaded.faults;
  for (const fault of hindering) say(...faultText(loaded, fault));
  if (!loaded.content)
    throw new Stop(
      exit.input,
      `${safeText(file)} has ${count(loaded.faults, loaded.untold)}`,
      'correct the errors above; barkline check FILE lists them again',
    );
  return { content: loaded.content, text: loaded.text };
}

/** Reads a chart that must be good. */
export function loadChart(file: string): Chart {
  return chartOnly(file, loadGood(file));
}

/** The chart that a file holds; throws `Stop` where it holds something else. */
export function chartOnly(file: string, content: DocumentContent): Chart {
  if (content.kind === 'chart') return content.chart;
  throw new Stop(
    exit.call,
    `${safeText(file)} is ${content.kind === 'instrument' ? 'an' : 'a'} ${content.kind}, not a chart`,
    content.kind === 'set' ? 'name one of its charts' : 'name a chart',
  );
}

/** A chart and the text of its file. */
export interface ChartSource {
  readonly chart: Chart;
  readonly source: string;
}

/** The chart of a set's song, or why there is none. */
export function chartOf(file: string): Outcome<ChartSource> {
  try {
    const loaded = load(file);
    if (loaded.content?.kind === 'chart') return good({ chart: loaded.content.chart, source: loaded.text });
    return misread(loaded.content ? `it is not a chart but ${loaded.content.kind}` : firstFault(loaded));
  } catch (error) {
    if (error instanceof Stop) return misread(error.what);
    throw error;
  }
}

/** The first fault of a file that cannot be read, with its place. */
export function firstFault({ file, faults }: Pick<Loaded, 'file' | 'faults'>): string {
  const fault = faults.find((one) => one.severity === 'error');
  return fault
    ? `${safeText(basename(file))}:${fault.line}:${fault.column}: ${fault.message}`
    : 'it cannot be read';
}

/** The path of a set's song, as written from the set's own folder. */
export function songPath(setFile: string, set: SetList, index: number): string {
  return resolve(dirname(setFile), set.entries[index]?.file ?? '');
}

/** `2 errors and 1 warning`; with those that are not told: `300 errors and 1 warning; the first 100 are shown`. */
export function count(faults: readonly Fault[], untold?: Untold): string {
  const parts = (['error', 'warning'] as const).flatMap((severity) => {
    const listed = faults.filter((fault) => fault.severity === severity).length;
    const number = listed + (severity === 'error' ? (untold?.errors ?? 0) : (untold?.warnings ?? 0));
    return number === 0 ? [] : [`${number} ${severity}${number === 1 ? '' : 's'}`];
  });
  const all = parts.join(' and ') || 'no fault';
  return untold ? `${all}; the first ${faults.length} are shown` : all;
}
