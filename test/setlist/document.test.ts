import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readDocument } from '../../src/setlist/document.js';

const read = (text: string) => readDocument(new TextEncoder().encode(text));

describe('readDocument', () => {
  it('knows a chart by its sections', () => {
    const reading = read('title: T\nkey: A\nsections:\n  V: 1 4\n');
    expect(reading).toMatchObject({ ok: true, value: { kind: 'chart', chart: { title: 'T' } }, faults: [] });
  });

  it('knows a set by its charts', () => {
    const reading = read('title: T\ncharts: [a.yaml]\n');
    expect(reading).toMatchObject({ ok: true, value: { kind: 'set', set: { title: 'T' } }, faults: [] });
  });

  it.each([
    ['a chart', 'title: T\nkey: A\ntemop: 90\nsections:\n  V: 1\n', 3],
    ['a set', 'title: T\nvenue: barn\ncharts: [a.yaml]\n', 2],
  ])('hands on what it warns of in %s', (_, text, line) => {
    expect(read(text)).toMatchObject({ ok: true, faults: [{ severity: 'warning', line, column: 1 }] });
  });

  it.each([
    ['a chart', 'title: T\nkey: H\nsections:\n  V: 1\n', 2, 6],
    ['a set', 'title: T\ncharts: []\n', 2, 9],
    ['no text', 'title: T\n\0', 2, 1],
    ['no map', '- a\n', 1, 1],
  ])('tells what is wrong with %s', (_, text, line, column) => {
    const reading = read(text);
    expect(reading.ok).toBe(false);
    expect(reading.faults).toMatchObject([{ severity: 'error', line, column }]);
  });

  it('answers any bytes', () => {
    const all = fc.oneof(
      fc.uint8Array({ maxLength: 200 }),
      fc.string({ unit: 'binary' }).map((text) => new TextEncoder().encode(`charts:\n- ${text}`)),
    );
    fc.assert(
      fc.property(all, (some) => {
        const { ok, faults } = readDocument(some);
        expect(faults.some((fault) => fault.severity === 'error')).toBe(!ok);
      }),
      { numRuns: 500 },
    );
  });
});
