import { describe, expect, it } from 'vitest';
import { Faults } from '../../src/chart/fault.js';

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
