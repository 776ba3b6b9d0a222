import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { Listening } from '../../src/ear/listening.js';
import type { EarSpec, FromEar } from '../../src/ear/messages.js';
import { CannotHear, type Source, type SourceEvents } from '../../src/ear/sources/source.js';

import { chop, plucked } from './plucks.js';

/** A machine whose clock moves when it is told, and whose sources are opened when it is told. */
class Machine {
  time = 1000;
  readonly told: FromEar[] = [];
  readonly opening: {
    events: SourceEvents;
    resolve: (source: Source) => void;
    reject: (error: Error) => void;
  }[] = [];
  closed = 0;
  private timers: { at: number; act: () => void }[] = [];
  readonly listening = new Listening(
    {
      now: () => this.time,
      later: (act, ms) => void this.timers.push({ at: this.time + ms, act }),
      waited: () => true,
      open: (_, events) => new Promise((resolve, reject) => this.opening.push({ events, resolve, reject })),
    },
    (message) => this.told.push(message),
  );

  async open(at = this.opening.length - 1): Promise<SourceEvents> {
    const { events, resolve } = this.opening[at] as (typeof this.opening)[number];
    resolve({ name: 'Pod', rate: 8000, by: 'test', close: () => this.count() });
    await new Promise(setImmediate);
    return events;
  }

  private count(): void {
    this.closed += 1;
  }

  async fail(): Promise<void> {
    this.opening.at(-1)?.reject(new CannotHear('it is busy; wait', 'busy'));
    await new Promise(setImmediate);
  }

  pass(ms: number): void {
    this.time += ms;
    const due = this.timers.filter(({ at }) => at <= this.time);
    this.timers = this.timers.filter(({ at }) => at > this.time);
    for (const { act } of due) act();
    this.listening.look();
  }

  kinds(): string[] {
    return this.told.map(({ kind }) => kind).filter((kind) => kind !== 'level' && kind !== 'condition');
  }
}

const pod: EarSpec = { kind: 'microphone', name: 'Pod' };
let machine: Machine;
beforeEach(() => {
  machine = new Machine();
});

describe('Listening', () => {
  it('says first that it listens, though sound may come before', async () => {
    machine.listening.open(pod, null);
    machine.opening[0]?.events.onSound(new Float32Array(1600), 1000);
    await machine.open();
    expect(machine.told.map(({ kind }) => kind)).toStrictEqual(['opened', 'level', 'level']);
    expect(machine.told[0]).toStrictEqual({ kind: 'opened', name: 'Pod', rate: 8000, by: 'test' });
  });

  it('says why it cannot listen, and leaves it to a person to try again', async () => {
    machine.listening.open(pod, null);
    await machine.fail();
    machine.pass(60_000);
    expect(machine.told).toStrictEqual([{ kind: 'failed', sentence: 'it is busy; wait' }]);
    expect(machine.opening).toHaveLength(1);
  });

  it('says that a microphone has gone, looks for it, and takes it up again', async () => {
    machine.listening.open(pod, null);
    const events = await machine.open();
    events.onGone('it has gone; connect it');
    expect(machine.closed).toBe(1);
    for (let time = 0; time < 3; time += 1) {
      machine.pass(2000);
      await machine.fail();
    }
    expect(machine.opening).toHaveLength(4);
    machine.pass(2000);
    await machine.open();
    // Once said, and not at each look.
    expect(machine.kinds()).toStrictEqual(['opened', 'gone', 'opened']);
  });

  it('says once that no sound comes, and again only when some had come', async () => {
    machine.listening.open(pod, null);
    const events = await machine.open();
    for (let time = 0; time < 5; time += 1) machine.pass(1000);
    expect(machine.kinds()).toStrictEqual(['opened', 'stalled']);
    events.onSound(new Float32Array(80), machine.time);
    machine.pass(1000);
    expect(machine.kinds()).toHaveLength(2);
    machine.pass(1000);
    expect(machine.kinds()).toStrictEqual(['opened', 'stalled', 'stalled']);
  });

  it('listens only to what was opened last', async () => {
    machine.listening.open(pod, null);
    machine.listening.open({ kind: 'microphone', name: null }, null);
    const second = await machine.open(1);
    const first = await machine.open(0);
    expect(machine.closed).toBe(1);
    first.onSound(new Float32Array(1600), 1000);
    first.onGone('gone');
    expect(machine.kinds()).toStrictEqual(['opened']);
    second.onSound(new Float32Array(1600), 1000);
    expect(machine.told.filter(({ kind }) => kind === 'level')).toHaveLength(2);
  });

  it('neither listens nor looks for a microphone when it was closed', async () => {
    machine.listening.open(pod, null);
    const events = await machine.open();
    events.onGone('gone');
    machine.listening.close();
    machine.pass(10_000);
    expect(machine.opening).toHaveLength(1);
    expect(machine.kinds()).toStrictEqual(['opened', 'gone']);
  });

  it('looks for a microphone from the beginning that another process was listening to', async () => {
    machine.listening.open(pod, null, true);
    await machine.fail();
    machine.pass(2000);
    await machine.open();
    expect(machine.kinds()).toStrictEqual(['opened']);
  });

  it('tells the end of a file after its last stroke', async () => {
    machine.listening.open({ kind: 'file', path: 'a.wav' }, null);
    const events = await machine.open();
    const burst = plucked([400], 1, 8000, chop);
    events.onSound(burst, 2000);
    events.onGone(null);
    expect(machine.kinds()).toStrictEqual(['opened', 'onset', 'stroke', 'ended']);
  });

  it('keeps what it hears beside what it kept before, when it is closed and opened again', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'barkline-kept-'));
    const path = join(folder, 'take.wav');
    try {
      for (let times = 0; times < 2; times += 1) {
        machine.listening.open(pod, path);
        const events = await machine.open();
        events.onSound(new Float32Array(800), 1000);
        machine.listening.close();
      }
      expect(machine.kinds()).toStrictEqual(['opened', 'opened']);
      expect(readdirSync(folder).sort()).toEqual(['take-2.wav', 'take.wav']);
      // A file that was there before is somebody else's.
      const other = new Machine();
      other.listening.open(pod, path);
      await other.open();
      expect(other.kinds()).toStrictEqual(['trouble', 'opened']);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  it('says once that what is heard cannot be kept, and listens on', async () => {
    machine.listening.open(pod, '/nonexistent/folder/take.wav');
    const events = await machine.open();
    events.onSound(new Float32Array(800), 1000);
    events.onSound(new Float32Array(800), 1100);
    expect(machine.kinds()).toStrictEqual(['trouble', 'opened']);
    expect(machine.told[0]).toMatchObject({
      sentence: expect.stringMatching(/^the sound cannot be kept in .*; name another file with --keep$/),
    });
    expect(machine.told.filter(({ kind }) => kind === 'level')).toHaveLength(2);
  });
});
