import { describe, expect, it } from 'vitest';
import { Faults, mostTold } from '../../src/chart/fault.js';

describe('Faults', () => {
  it('keeps errors and warnings with their places', () => {
    const faults = new Faults();
    faults.warning({ line: 2, column: 3 }, 'odd');
    faults.error({ line: 4, column: 1 }, 'wrong');
    expect(faults.list).toStrictEqual([
      { severity: 'warning', message: 'odd', line: 2, column: 3 },
      { severity: 'error', message: 'wrong', line: 4, column: 1 },
    ]);
  });

  it('takes nothing but the place out of what stands there', () => {
    const faults = new Faults();
    const token = { kind: 'word', text: 'q', line: 5, column: 7 };
    faults.error(token, 'wrong');
    expect(faults.list).toStrictEqual([{ severity: 'error', message: 'wrong', line: 5, column: 7 }]);
  });

  it('fails by an error, not by a warning', () => {
    const faults = new Faults();
    expect(faults.failed).toBe(false);
    faults.warning({ line: 1, column: 1 }, 'odd');
    expect(faults.failed).toBe(false);
    faults.error({ line: 1, column: 1 }, 'wrong');
    expect(faults.failed).toBe(true);
  });

  it('tells them in the order of the file, equal places in the order found', () => {
    const faults = new Faults();
    for (const [line, column, message] of [
      [10, 2, 'd'],
      [2, 10, 'c'],
      [2, 9, 'a'],
      [2, 9, 'b'],
    ] as const)
      faults.error({ line, column }, message);
    expect(faults.sorted().map((fault) => fault.message)).toStrictEqual(['a', 'b', 'c', 'd']);
    expect(faults.list.map((fault) => fault.message)).toStrictEqual(['d', 'c', 'a', 'b']);
  });
});

describe('very many faults', () => {
  const place = (line: number) => ({ line, column: 1 });

  it('are told by their first hundred and counted, and only those are worded', () => {
    const faults = new Faults();
    let worded = 0;
    for (let line = 300_000; line > 0; line -= 1)
      faults.error(place(line), () => {
        worded += 1;
        return `fault ${line}`;
      });
    faults.warning(place(300_001), 'odd');
    const { faults: told, untold } = faults.refused();
    expect(told).toHaveLength(mostTold);
    expect(told[0]?.message).toBe('fault 1');
    expect(told.at(-1)?.message).toBe('fault 100');
    expect(untold).toEqual({ errors: 299_900, warnings: 1 });
    expect(worded).toBe(mostTold);
  });

  it('tell an error, however many warnings stand before it', () => {
    const faults = new Faults();
    for (let line = 1; line <= 500; line += 1) faults.warning(place(line), 'odd');
    faults.error(place(501), 'wrong');
    const reading = faults.with('value');
    expect(reading.ok).toBe(false);
    expect(reading.faults.at(-1)?.message).toBe('wrong');
    expect(reading.untold).toEqual({ errors: 0, warnings: 401 });
  });

  it('are not spoken of where all are told', () => {
    const faults = new Faults();
    faults.warning(place(1), 'odd');
    expect(faults.with(1)).toEqual({
      ok: true,
      value: 1,
      faults: [{ line: 1, column: 1, severity: 'warning', message: 'odd' }],
    });
  });
});
