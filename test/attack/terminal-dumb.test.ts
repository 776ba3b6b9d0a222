import { afterAll, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, program } from '../e2e/harness.js';
import { Terminal } from './terminal.js';

const folder = freshFolder();
afterAll(() => folder.remove());

async function outputOf(
  term: string | null,
  leftAfter: string | null,
  ...words: string[]
): Promise<{ text: string; status: number | null }> {
  const terminal = new Terminal([process.execPath, program, ...words], { env: cleanEnv(folder.path), term });
  try {
    if (leftAfter !== null) {
      expect(await terminal.shows(leftAfter)).toBe(true);
      terminal.type('quit\r');
    }
    const status = await terminal.ends(20_000);
    return { text: terminal.text, status };
  } finally {
    await terminal.close();
  }
}

describe('a terminal without a full screen', () => {
  for (const [term, said] of [
    ['dumb', 'TERM is “dumb”'],
    [null, 'TERM is not set'],
  ] as const) {
    it(`gets a line a bar, and is told so: TERM ${term ?? 'unset'}`, async () => {
      const words = [
        'play',
        demo('weir-hands'),
        '--out',
        'none',
        '--loop',
        '1-2',
        '--tempo',
        '400',
        '--passes',
        '1',
      ];
      const { text, status } = await outputOf(term, 'the end', ...words);
      expect(text.split('\r\n').filter((line) => line.includes(said))).toHaveLength(1);
      expect(text).toContain('pass 1 bar 2');
      expect(text).not.toContain('\u001b');
      expect(status).toBe(0);
    });
  }

  it('has the list of charts by typed commands', async () => {
    const { text, status } = await outputOf('dumb', 'the list of charts: list prints it');
    expect(text).toContain('left');
    expect(text).not.toContain('\u001b');
    expect(status).toBe(0);
  });

  it('has a chart that nobody has seen printed', async () => {
    const { text, status } = await outputOf('dumb', null, 'shed', 'unseen', '--seed', '1');
    expect(text).toContain('sections:');
    expect(text).not.toContain('\u001b');
    expect(status).toBe(0);
  });
});
