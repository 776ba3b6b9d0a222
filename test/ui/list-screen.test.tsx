import { stripVTControlCharacters } from 'node:util';
import { render } from 'ink-testing-library';
import { describe, expect, it } from 'vitest';
import { App } from '../../src/ui/App.js';
import { drillName } from '../../src/ui/draw/drill-name.js';
import { Runtime } from '../../src/ui/runtime.js';
import { finds } from '../../src/ui/state/finds.js';
import { firstChoice, listMoved, listShown, listTyped } from '../../src/ui/state/list-choice.js';
import type { Effect } from '../../src/ui/state/messages.js';
import { standing } from './model.js';

const [down, up, enter, back, leave] = ['\u001b[B', '\u001b[A', '\r', '\u007f', '\u001b'];

function shown() {
  const effects: Effect[] = [];
  const runtime = new Runtime(
    standing('weir-hands', 100, 30),
    (effect) => void effects.push(effect),
    () => 0,
  );
  const screen = render(<App runtime={runtime} now={() => 0} />);
  const press = async (...keys: string[]): Promise<string> => {
    for (const key of keys) {
      screen.stdin.write(key);
      // A list hears keys once React has come to its effects.
      for (let turns = 0; turns < 20; turns += 1) await new Promise((resolve) => setImmediate(resolve));
    }
    return stripVTControlCharacters(screen.lastFrame() ?? '');
  };
  /** Keys that come before React has renewed what listens. */
  const hurry = (...keys: string[]): void => {
    for (const key of keys) screen.stdin.write(key);
  };
  return { runtime, effects, press, hurry, close: () => screen.unmount() };
}

describe('a list that is chosen from', () => {
  it('finds a key by whatever name, and takes it', async () => {
    const { runtime, press, close } = shown();
    const list = await press('k', 'g', '#');
    expect(list).toContain('search: g#▏  1 of 12');
    expect(list).toMatch(/▸ A♭/);
    await press(enter as string);
    expect(runtime.model().overlay).toBeNull();
    expect(runtime.model().session.performance?.setup.key.tonic).toBe('Ab');
    close();
  });

  it('has the key that was typed before those whose names only begin so', async () => {
    const { runtime, press, close } = shown();
    await press('k', 'A', enter as string);
    expect(runtime.model().session.performance?.setup.key.tonic).toBe('A');
    close();
  });

  it('goes by what was typed last, though nothing was drawn since', async () => {
    const { runtime, press, hurry, close } = shown();
    await press('k');
    hurry('e', 'b', up as string, down as string, enter as string);
    expect(runtime.model().session.performance?.setup.key.tonic).toBe('Eb');
    close();
  });

  it('takes q, j, k and figures for letters, says where nothing is found, and takes nothing then', async () => {
    const { runtime, effects, press, close } = shown();
    const none = await press('d', 'q', 'j', '1');
    expect(none).toContain('nothing has “qj1”');
    expect(none).toContain('0 of');
    await press(enter as string);
    expect(runtime.model().overlay?.kind).toBe('drills');
    expect(effects.filter(({ kind }) => kind === 'leave')).toStrictEqual([]);
    const all = await press(back as string, back as string, back as string, back as string);
    expect(all).not.toContain('search:');
    await press(leave as string);
    expect(runtime.model().overlay).toBeNull();
    close();
  });

  it('finds drills, tells the one that is chosen, and takes it', async () => {
    const { runtime, press, close } = shown();
    await press('d');
    const { overlay } = runtime.model();
    if (overlay?.kind !== 'drills') throw new Error('there is no list of drills');
    const name = drillName(overlay.drills.at(-1) ?? { title: '', from: '' });
    const found = await press(...name.slice(0, 6));
    expect(found).toContain(name);
    expect(found).toMatch(/\d+ of \d+/);
    close();
  });

  it('of few lines is not searched: letters are keys there', async () => {
    const { effects, press, close } = shown();
    const clicks = await press('c', 'x');
    expect(clicks).toContain('backbeat');
    expect(clicks).not.toContain('search:');
    await press(down as string, up as string, 'q');
    expect(effects).toContainEqual({ kind: 'leave' });
    close();
  });
});

describe('what is chosen', () => {
  const items = [...'abcdefghij'].map((label) => ({ label }));
  it('goes round at both ends, by pages, and to them', () => {
    const at = (from: number, action: Parameters<typeof listMoved>[1]) =>
      listMoved({ query: '', at: from }, action, 10, 4)?.at;
    expect([at(0, 'list-back'), at(9, 'list-on'), at(3, 'list-on')]).toStrictEqual([9, 0, 4]);
    expect([at(3, 'list-page-back'), at(3, 'list-page-on'), at(8, 'list-page-on')]).toStrictEqual([0, 7, 9]);
    expect([at(3, 'list-start'), at(3, 'list-end'), at(3, 'far')]).toStrictEqual([0, 9, undefined]);
    expect(listMoved({ query: '', at: 0 }, 'list-on', 0, 4)?.at).toBe(0);
  });

  it('is always in sight, and there at all', () => {
    for (let at = 0; at < 12; at += 1) {
      const shown = listShown(items, { query: '', at }, 4);
      expect(shown.at).toBe(Math.min(9, at));
      expect(shown.first).toBeLessThanOrEqual(shown.at);
      expect(shown.at).toBeLessThan(shown.first + 4);
      expect(shown.first).toBeLessThanOrEqual(6);
    }
    expect(listShown(items, { query: 'zz', at: 3 }, 4)).toMatchObject({ found: [], at: 0, first: 0 });
    expect(listTyped(firstChoice(-1), 'b'.repeat(500)).query).toHaveLength(60);
  });

  it('is among whole words first, then beginnings, then the rest', () => {
    const texts = ['bab', 'ab c', 'a b', 'c a'];
    expect(finds(texts, 'a', (one) => one)).toStrictEqual(['a b', 'c a', 'ab c', 'bab']);
    expect(finds(texts, 'B A', (one) => one)).toStrictEqual(['a b', 'bab', 'ab c']);
    expect(finds(texts, ' ', (one) => one)).toBe(texts);
  });
});
