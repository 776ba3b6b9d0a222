import { expect, test } from 'vitest';
import { cleanEnv, demo, freshFolder, program } from '../e2e/harness.js';
import { Terminal } from './terminal.js';

test('a program on the terminal is seen, typed to and ended', async () => {
  const folder = freshFolder();
  const terminal = new Terminal([process.execPath, program, 'play', demo('weir-hands'), '--out', 'none'], {
    env: cleanEnv(folder.path),
  });
  try {
    expect(await terminal.shows('\u001b[?1049h')).toBe(true);
    terminal.type('q');
    expect(await terminal.ends()).toBe(0);
  } finally {
    await terminal.close();
    folder.remove();
  }
});
