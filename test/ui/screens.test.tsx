import { render } from 'ink-testing-library';
import { describe, expect, it } from 'vitest';
import { App } from '../../src/ui/App.js';
import type { Message } from '../../src/ui/model.js';
import { Runtime } from '../../src/ui/runtime.js';
import { having, standing } from './model.js';

/** The whole screen of a model, with keys that can be pressed. */
function shown(model = standing('weir-hands', 100, 30)) {
  const runtime = new Runtime(
    model,
    () => {},
    () => 0,
  );
  const screen = render(<App runtime={runtime} now={() => 0} />);
  const press = async (...keys: string[]): Promise<string> => {
    for (const key of keys) {
      screen.stdin.write(key);
      await new Promise((resolve) => setImmediate(() => setImmediate(resolve)));
    }
    return screen.lastFrame() ?? '';
  };
  return { runtime, press, frame: () => screen.lastFrame() ?? '', close: () => screen.unmount() };
}

describe('App', () => {
  it('shows the stand, and every list in front of it by its key', async () => {
    const { press, frame, close } = shown();
    expect(frame()).toContain('Weir Hands');
    expect(await press('k')).toContain('as the chart has it');
    expect(await press('\u001b')).toContain('Weir Hands');
    expect(await press('c')).toContain('backbeat');
    expect(await press('\u001b', 'p')).toContain('as the chart has it');
    expect(await press('\u001b', 'v')).toContain('root and fifth');
    expect(await press('\u001b', '?')).toContain('Keys');
    close();
  });

  it('shows the shapes for a chord with the one that is looked at drawn, and takes one', async () => {
    const { runtime, press, close } = shown();
    const list = await press('s');
    expect(list).toContain('Shape for 1 B in V');
    expect(list).toMatch(/11-9-6-7 +L R I M +as it is/);
    expect(list).toMatch(/\+\d+ ms a pass/);
    const next = await press('\u001b[B');
    expect(next).toMatch(/▸ /);
    await press('\r');
    expect(runtime.model().panel).toBeNull();
    expect(runtime.model().stand?.picks).toHaveLength(1);
    close();
  });

  it('takes letters as text where a line is typed, and as keys again behind it', async () => {
    const { runtime, press, close } = shown();
    expect(await press('g', '1', 'q')).toMatch(/to bar or section: .*1q/);
    await press('\u007f', '2', '\r');
    expect(runtime.model().stand?.cursor.bar).toBe(11);
    expect(runtime.model().entry).toBeNull();
    close();
  });

  it('says when the terminal is too small, and recovers', async () => {
    const small: Message = { kind: 'resized', columns: 59, rows: 17 };
    const { runtime, frame, close } = shown(having(standing('weir-hands'), small).model);
    expect(frame()).toContain('needs 60x18, has 59x17');
    runtime.dispatch({ kind: 'resized', columns: 60, rows: 18 });
    await new Promise((resolve) => setImmediate(() => setImmediate(resolve)));
    expect(frame()).toContain('Weir Hands');
    close();
  });
});
