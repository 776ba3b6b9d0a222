import { render } from 'ink-testing-library';
import { describe, expect, it } from 'vitest';
import { App } from '../../src/ui/App.js';
import { drillName } from '../../src/ui/draw/drill-name.js';
import { Runtime } from '../../src/ui/runtime.js';
import { DrillScreen } from '../../src/ui/screens/DrillScreen.js';
import type { Message } from '../../src/ui/state/messages.js';
import type { Model } from '../../src/ui/state/model.js';
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
    expect(list).toContain('Shape for 1 B, section V');
    expect(list).toMatch(/11-9-6-7 +L R I M +as it is/);
    expect(list).toMatch(/slower by \d+\.\d\d s a pass/);
    const next = await press('\u001b[B');
    expect(next).toMatch(/▸ /);
    await press('\r');
    expect(runtime.model().overlay).toBeNull();
    expect(runtime.model().session.performance?.setup.picks).toHaveLength(1);
    close();
  });

  it('shows the drills that were made, and takes one of them, however the model has moved on', async () => {
    const list = having(standing('weir-hands', 100, 30), { kind: 'action', action: 'choose-drill', at: 5 });
    const { overlay, session } = list.model;
    if (overlay?.kind !== 'drills') throw new Error('there is no list of drills');
    expect(overlay.drills.length).toBeGreaterThan(3);
    const sent: Message[] = [];
    const drawn = (model: Model) => (
      <DrillScreen model={model} overlay={overlay} dispatch={(message) => sent.push(message)} />
    );
    const screen = render(drawn(list.model));
    expect(screen.lastFrame()).toContain('Drills from Weir Hands');
    for (const drill of overlay.drills.slice(0, 3)) expect(screen.lastFrame()).toContain(drillName(drill));
    const moved = having(list.model, { kind: 'action', action: 'bar-on', at: 6 }).model;
    screen.rerender(drawn({ ...moved, session: { ...session, performance: null } }));
    for (const key of ['\u001b[B', '\r']) {
      screen.stdin.write(key);
      await new Promise((resolve) => setImmediate(() => setImmediate(resolve)));
    }
    expect(sent).toHaveLength(1);
    expect(sent[0]).toMatchObject({ kind: 'drill-chosen' });
    expect(sent[0]?.kind === 'drill-chosen' && sent[0].drill).toBe(overlay.drills[1]);
    screen.unmount();
  });

  it('takes letters as text where a line is typed, and as keys again after it', async () => {
    const { runtime, press, close } = shown();
    expect(await press('g', '1', 'q')).toMatch(/to bar or section: .*1q/);
    await press('\u007f', '2', '\r');
    expect(runtime.model().session.performance?.cursor.bar).toBe(11);
    expect(runtime.model().overlay).toBeNull();
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
