import { afterAll, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, pause, program, until } from '../e2e/harness.js';
import { Terminal } from './terminal.js';

const folder = freshFolder();
afterAll(() => folder.remove());

function stand(columns: number, rows: number): Terminal {
  return new Terminal([process.execPath, program, 'play', demo('weir-hands'), '--out', 'none'], {
    env: cleanEnv(folder.path),
    columns,
    rows,
  });
}

/** The greatest row that is written to. */
function lowest(terminal: Terminal): number {
  return Math.max(...[...terminal.text.matchAll(/\u001b\[(\d+);1H/g)].map((match) => Number(match[1])));
}

describe('terminals of every size', () => {
  it.each([
    [65_535, 65_535, 'Weir Hands', 150],
    [0, 0, 'Weir Hands', 24],
    [59, 18, 'needs 60x18, has 59x18', 18],
    [12, 6, 'needs 60x18', 6],
    [1, 1, 'n', 1],
  ])('%ix%i', async (columns, rows, shown, most) => {
    const terminal = stand(columns, rows);
    try {
      expect(await terminal.shows(shown)).toBe(true);
      await pause(300);
      expect(lowest(terminal)).toBeLessThanOrEqual(most);
      terminal.type('q');
      expect(await terminal.ends(5000)).toBe(0);
    } finally {
      await terminal.close();
    }
  });

  it('that change to the largest and the smallest while it plays', async () => {
    const terminal = stand(80, 24);
    try {
      expect(await terminal.shows('ready')).toBe(true);
      terminal.type(' ');
      expect(await terminal.shows('pass 1')).toBe(true);
      for (const [columns, rows] of [
        [65_535, 65_535],
        [1, 1],
        [0, 0],
        [65_535, 1],
        [1, 65_535],
      ] as const) {
        terminal.resize(columns, rows);
        await pause(300);
      }
      const before = terminal.text.length;
      terminal.resize(80, 24);
      expect(await until(() => terminal.text.slice(before).includes('Weir Hands'), 5000)).toBe(true);
      terminal.type('q');
      expect(await terminal.ends(5000)).toBe(0);
    } finally {
      await terminal.close();
    }
  });
});
