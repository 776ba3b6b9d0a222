import { describe, expect, it } from 'vitest';
import { ParentWatch } from '../../src/player/parent-watch.js';

/** A watch over process 7, looked at every 10 ms up to a time; answers when it told that the parent has gone. */
function watched(until: number, signs: (at: number) => { pid: number; connected: boolean }) {
  let now = 0;
  let asked = 0;
  const gone: number[] = [];
  const watch = new ParentWatch(
    7,
    () => now,
    () => gone.push(now),
    {
      pid: () => {
        asked += 1;
        return signs(now).pid;
      },
      connected: () => signs(now).connected,
    },
  );
  for (; now <= until; now += 10) watch.look();
  return { gone, asked, watch };
}

describe('ParentWatch', () => {
  it('says nothing while the parent is there, and looks no more than five times a second', () => {
    const { gone, asked } = watched(2000, () => ({ pid: 7, connected: true }));
    expect(gone).toStrictEqual([]);
    expect(asked).toBeLessThanOrEqual(11);
  });

  it('tells once, soon, that the parent has gone: another process has taken its child', () => {
    const { gone, watch } = watched(3000, (at) => ({ pid: at < 1010 ? 7 : 1, connected: true }));
    expect(gone).toStrictEqual([1200]);
    expect(watch.gone).toBe(true);
  });

  it('tells it also when only the channel is gone', () => {
    expect(watched(3000, (at) => ({ pid: 7, connected: at < 500 })).gone).toStrictEqual([600]);
  });
});
