import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openSound } from '../../../src/player/outputs/sound.js';

/** Sound cards as they are opened one after another: one that stands still ran dry while it was being opened. */
const cards = vi.hoisted(() => ({
  stand: [] as boolean[],
  opened: [] as { closed: boolean; madeAt: number[] }[],
}));
const node = { connect: () => {}, disconnect: () => {} };
vi.mock('node-web-audio-api', () => ({
  AudioContext: class {
    readonly sampleRate = 8000;
    readonly destination = node;
    private readonly card = { closed: false, madeAt: [] as number[] };
    private readonly stands = cards.stand[cards.opened.length] ?? false;
    constructor() {
      cards.opened.push(this.card);
    }
    get currentTime(): number {
      return this.stands ? 0 : Date.now() / 1000;
    }
    createGain(): unknown {
      return { ...node, gain: { setValueAtTime: () => {} } };
    }
    createBuffer(): unknown {
      this.card.madeAt.push(Date.now());
      return { copyToChannel: () => {} };
    }
    async close(): Promise<void> {
      this.card.closed = true;
    }
  },
}));

beforeEach(() => {
  vi.useFakeTimers();
  cards.opened = [];
});
afterEach(() => vi.useRealTimers());

/** Opens the built-in sound; answers what came of it. */
async function opening(stand: readonly boolean[]): Promise<string> {
  cards.stand = [...stand];
  let ended: string | null = null;
  openSound().then(
    ({ label }) => {
      ended = label;
    },
    (error: Error) => {
      ended = error.message;
    },
  );
  // The package is loaded in time of its own.
  while (ended === null) await vi.advanceTimersByTimeAsync(50);
  return ended;
}

describe('opening the built-in sound', () => {
  it('lets go a card that ran dry, and opens it afresh', async () => {
    expect(await opening([true, false])).toBe('built-in sound');
    expect(cards.opened.map(({ closed }) => closed)).toStrictEqual([true, false]);
  });

  it('gives up one that never takes sound, in a sentence, and holds none', async () => {
    expect(await opening([true, true, true, true])).toContain('is there but takes no sound');
    expect(cards.opened.map(({ closed }) => closed)).toStrictEqual([true, true, true]);
  });

  it('makes its first sounds one at a time, with a pause for the card between', async () => {
    await opening([false]);
    const [{ madeAt } = { madeAt: [] }] = cards.opened;
    expect(madeAt.length).toBeGreaterThan(3);
    expect(new Set(madeAt).size).toBe(madeAt.length);
  });
});
