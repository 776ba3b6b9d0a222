import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { cleanEnv, demo, freshFolder, program, until } from './harness.js';
import { Screen } from './screen.js';

const folder = freshFolder();
afterAll(() => folder.remove());
let shown: Screen | null = null;
afterEach(() => shown?.close());

describe('in a terminal multiplexer', () => {
  it.each([
    ['#fbfbf8', '34', '36'],
    ['#101014', '36', '34'],
  ])(
    'the background %s is told, and chords are drawn so that they can be read on it',
    async (colour, wanted, unwanted) => {
      const { COLORFGBG: _, NO_COLOR: __, ...env } = cleanEnv(folder.path);
      const set = `tmux set-option -g window-style 'bg=${colour}'`;
      shown = new Screen(
        100,
        30,
        `${set}; ${process.execPath} ${program} play ${demo('weir-hands')} --out none`,
        env,
      );
      await shown.shows('ready');
      const colours = (): readonly string[] =>
        [...(shown as Screen).styled().matchAll(/\u001b\[([\d;]*)m/g)].flatMap(([, codes = '']) =>
          codes.split(';'),
        );
      expect(await until(() => colours().includes(wanted))).toBe(true);
      expect(colours()).not.toContain(unwanted);
    },
  );
});
