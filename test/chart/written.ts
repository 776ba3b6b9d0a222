import { expect } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import type { Fault } from '../../src/chart/fault.js';
import { readChart } from '../../src/chart/read.js';
import { type UnrollOptions, unroll } from '../../src/chart/unroll.js';
import { numberText } from '../../src/theory/number.js';

export const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

/** Two lines stand before what is given, so its first line is line 3 of the file. */
export const headed = (rest: string): string => `title: Tin Heron\nkey: A\n${rest}`;

/** A chart of one section, V; its first line of bars is line 5 and starts in column 5. */
export function chartOf(bars: string, head = ''): string {
  const lines = bars.split('\n').map((line) => `    ${line}`);
  return headed(`${head}sections:\n  V: |\n${lines.join('\n')}\n`);
}

/** A chart that must read; what it is warned of is passed over. */
export function chart(text: string): Chart {
  const reading = readChart(bytes(text));
  if (!reading.ok) throw new Error(reading.faults.map((fault) => fault.message).join('\n'));
  return reading.value;
}

/** What is wrong with a chart, a line each: `5:8 error “57” can be read two ways …`. */
export function faultsOf(text: string | Uint8Array): string[] {
  const { faults } = readChart(typeof text === 'string' ? bytes(text) : text);
  return faults.map(({ line, column, severity, message }) => `${line}:${column} ${severity} ${message}`);
}

/** The bars of a pass as they are played: `1 4 (1 5) nc`. */
export function played(text: string, options: UnrollOptions = {}): string {
  return barsOf(text, options)
    .map(({ cells }) => cells.map(({ number }) => (number ? numberText(number) : 'nc')))
    .map((names) => (names.length === 1 ? names[0] : `(${names.join(' ')})`))
    .join(' ');
}

/** The bars of a pass; there must be no fault in unrolling it. */
export function barsOf(text: string, options: UnrollOptions = {}) {
  const { bars, fault } = unroll(chart(text), options);
  expect(fault).toBeNull();
  return bars;
}

/** Holds when every fault lies inside the file, at most one after the end of its line, and can be shown on a terminal. */
export function expectShowable(text: string, faults: readonly Fault[]): void {
  const lines = text.split('\n').map((line) => [...line].length);
  for (const { line, column, message } of faults) {
    expect(lines.length, message).toBeGreaterThanOrEqual(line);
    expect(line, message).toBeGreaterThanOrEqual(1);
    expect(column, message).toBeGreaterThanOrEqual(1);
    expect(column, message).toBeLessThanOrEqual((lines[line - 1] ?? 0) + 1);
    expect(message).not.toMatch(/\p{Cc}/u);
  }
}
