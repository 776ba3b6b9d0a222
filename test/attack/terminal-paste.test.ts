import { afterAll, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, pause, program, until } from '../e2e/harness.js';
import { Terminal } from './terminal.js';

const folder = freshFolder();
afterAll(() => folder.remove());

/** Fifty kilobytes of what somebody has on the clipboard: letters that are keys, line breaks, no q. */
const long = `${'t h e words + - [ ] z x \n'.repeat(2048)}`;

function start(...words: string[]): Terminal {
  return new Terminal([process.execPath, program, ...words, '--out', 'none'], { env: cleanEnv(folder.path) });
}

describe('fifty kilobytes that are pasted', () => {
  for (const [kind, text, said] of [
    ['marked as pasted', `\u001b[200~${long}\u001b[201~`, 'the pasted text is ignored'],
    ['not marked', long, 'too many keys at once'],
  ] as const) {
    it(`${kind}, are left out, which is said, and q leaves at once`, async () => {
      const terminal = start('play', demo('weir-hands'));
      try {
        expect(await terminal.shows('ready')).toBe(true);
        terminal.type(text);
        expect(await terminal.shows(said, 5000)).toBe(true);
        await pause(500);
        terminal.type('q');
        expect(await terminal.ends(4000)).toBe(0);
      } finally {
        await terminal.close();
      }
    });
  }

  it('into a typed line, leave one line, which is said', async () => {
    const terminal = start();
    try {
      expect(await terminal.shows('type to search')).toBe(true);
      terminal.type(`\u001b[200~weir\n${long}\u001b[201~`);
      expect(await terminal.shows('only the first line of the pasted text is kept', 5000)).toBe(true);
      expect(terminal.text).toContain('search: ');
      const before = terminal.text.length;
      terminal.type('\r');
      expect(await until(() => terminal.text.slice(before).includes('ready'), 8000)).toBe(true);
      expect(terminal.text.slice(before)).toContain('Weir Hands');
      terminal.type('q');
      expect(await terminal.ends(4000)).toBe(0);
      // As it was: nothing that is pasted into the shell afterwards is marked.
      expect(terminal.text.lastIndexOf('\u001b[?2004l')).toBeGreaterThan(
        terminal.text.lastIndexOf('\u001b[?2004h'),
      );
    } finally {
      await terminal.close();
    }
  });
});
