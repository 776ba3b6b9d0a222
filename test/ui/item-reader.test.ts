import { describe, expect, it } from 'vitest';
import { ItemReader } from '../../src/ui/item-reader.js';
import type { LibraryItem } from '../../src/ui/state/library.js';

/** A reader on a clock of its own, on which each file takes as long as it is told to. */
function stage(msEach = 1) {
  let now = 0;
  const timers = new Map<number, () => void>();
  let next = 0;
  const log: string[] = [];
  const reader = new ItemReader({
    read: (file) => {
      now += msEach;
      return {
        file,
        kind: 'chart',
        title: file,
        detail: '',
        wishes: { key: null, bpm: null },
      } as LibraryItem;
    },
    told: (items) => log.push(items.map(({ file }) => file).join(' ')),
    done: () => log.push('done'),
    now: () => now,
    setTimer: (callback) => {
      timers.set(++next, callback);
      return next;
    },
    clearTimer: (timer) => timers.delete(timer as number),
  });
  /** One stretch; how long it took. */
  const stretch = (): number => {
    const before = now;
    const [id, callback] = [...timers][0] ?? [];
    if (id === undefined || !callback) return -1;
    timers.delete(id);
    callback();
    return now - before;
  };
  return { reader, log, stretch, pass: (ms: number) => (now += ms) };
}
const files = (count: number): string[] => Array.from({ length: count }, (_, at) => `f${at}`);

describe('files of lists', () => {
  it('are read in short stretches, told together, and then done with', () => {
    const { reader, log, stretch } = stage();
    reader.ask(files(20));
    const took: number[] = [];
    for (let ms = stretch(); ms >= 0; ms = stretch()) took.push(ms);
    expect(took).toStrictEqual([8, 8, 4]);
    expect(log).toStrictEqual([files(20).join(' '), 'done']);
  });

  it('are told while more are to come, not after each', () => {
    const { reader, log, stretch } = stage(60);
    reader.ask(files(7));
    while (stretch() >= 0);
    expect(log).toStrictEqual(['f0 f1 f2', 'f3 f4 f5', 'f6', 'done']);
  });

  it('that are asked for last come first, each once', () => {
    const { reader, log, stretch } = stage(200);
    reader.ask(['a', 'b', 'c']);
    stretch();
    reader.ask(['x', 'c']);
    while (stretch() >= 0);
    expect(log).toStrictEqual(['a', 'x', 'c', 'b', 'done']);
  });

  it('are read no more when the program ends; what was read is kept', () => {
    const { reader, log, stretch } = stage(200);
    reader.ask(['a', 'b']);
    stretch();
    reader.stop();
    reader.stop();
    expect(stretch()).toBe(-1);
    expect(log).toStrictEqual(['a', 'done']);
  });
});
