import { EventEmitter } from 'node:events';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { type Ear, type EarMessage, openEar } from '../../src/ear/client.js';
import type { EarSpec } from '../../src/ear/messages.js';

/** A child process that only remembers what it is told. */
class Child extends EventEmitter {
  connected = true;
  exitCode: number | null = null;
  signalCode: string | null = null;
  readonly stderr = new EventEmitter();
  readonly told: { kind: string }[] = [];
  readonly kill = vi.fn();

  send(message: { kind: string }): void {
    this.told.push(message);
  }

  die(signal: string): void {
    this.connected = false;
    this.emit('exit', null, signal);
  }
}

const children = vi.hoisted(() => [] as unknown[]);
const options = vi.hoisted(() => [] as Record<string, unknown>[]);
vi.mock('node:child_process', () => ({
  fork: (_path: string, _args: string[], given: Record<string, unknown>) => {
    const child = new Child();
    children.push(child);
    options.push(given);
    return child;
  },
}));

const child = (index: number): Child => children[index] as Child;
const pod: EarSpec = { kind: 'microphone', name: 'Pod' };

function open(from: EarSpec | null = pod, keep: string | null = null): { ear: Ear; told: EarMessage[] } {
  const told: EarMessage[] = [];
  return { ear: openEar({ from, keep, onMessage: (message) => told.push(message) }), told };
}

beforeEach(() => {
  vi.useFakeTimers();
  children.length = 0;
  options.length = 0;
  return () => vi.useRealTimers();
});

describe('openEar', () => {
  it('forks a process with a session of its own, whose output never reaches the terminal', () => {
    open();
    expect(options[0]).toMatchObject({ detached: true, serialization: 'advanced' });
    expect(options[0]?.stdio).toStrictEqual(['ignore', 'ignore', 'pipe', 'ipc']);
    expect(child(0).stderr.listenerCount('data')).toBe(1);
    expect(child(0).told).toStrictEqual([{ kind: 'open', from: pod, keep: null }]);
  });

  it('hands on what is heard, but neither signs of life nor what comes after the end', () => {
    const { ear, told } = open();
    child(0).emit('message', { kind: 'ready' });
    child(0).emit('message', { kind: 'pong' });
    child(0).emit('message', { kind: 'opened', name: 'Pod', rate: 48_000, by: 'arecord' });
    expect(told.map(({ kind }) => kind)).toStrictEqual(['opened']);
    ear.quit();
    child(0).emit('message', { kind: 'ended' });
    expect(told).toHaveLength(1);
  });

  it('starts another that listens to the same, told that it does so again, when one dies', () => {
    const { ear, told } = open(pod, 'take.wav');
    ear.setDelay(35);
    child(0).die('SIGSEGV');
    expect(told).toStrictEqual([
      {
        kind: 'died',
        again: true,
        sentence:
          'the process that listens to the microphone has stopped (SIGSEGV); it is being started again, and the music goes on',
      },
    ]);
    expect(child(1).told).toStrictEqual([
      { kind: 'delay', ms: 35 },
      { kind: 'open', from: pod, keep: 'take.wav', again: true },
    ]);
    // What an old one still had to say is of no interest.
    child(0).emit('message', { kind: 'ended' });
    expect(told).toHaveLength(1);
  });

  it('gives up one that keeps dying, and says so', () => {
    const { told } = open();
    for (let index = 0; index < 6; index += 1) child(index).die('SIGABRT');
    expect(children).toHaveLength(6);
    expect(told.at(-1)).toMatchObject({ kind: 'died', again: false });
  });

  it('ends one that gives no sign of life, so that another takes its place', () => {
    const { told } = open();
    child(0).emit('message', { kind: 'opened', name: 'Pod', rate: 48_000, by: 'arecord' });
    vi.advanceTimersByTime(7000);
    expect(child(0).kill).not.toHaveBeenCalled();
    vi.advanceTimersByTime(1500);
    expect(child(0).kill).toHaveBeenCalledWith('SIGKILL');
    child(0).die('SIGKILL');
    expect(told.at(-1)).toMatchObject({
      kind: 'died',
      sentence: expect.stringContaining('it stopped answering'),
    });
  });

  it('does not listen again to what was closed', () => {
    const { ear } = open();
    ear.close();
    child(0).die('SIGSEGV');
    expect(child(1).told).toStrictEqual([]);
  });

  it('asks one to leave, makes it leave after a second, and waits no longer than a second and a half', async () => {
    const { ear, told } = open();
    let gone = false;
    ear.quit().then(() => {
      gone = true;
    });
    expect(child(0).told.at(-1)).toStrictEqual({ kind: 'quit' });
    await vi.advanceTimersByTimeAsync(999);
    expect(child(0).kill).not.toHaveBeenCalled();
    await vi.advanceTimersByTimeAsync(2);
    expect(child(0).kill).toHaveBeenCalledWith('SIGKILL');
    expect(gone).toBe(false);
    await vi.advanceTimersByTimeAsync(500);
    expect(gone).toBe(true);
    child(0).die('SIGKILL');
    expect(children).toHaveLength(1);
    expect(told).toStrictEqual([]);
  });
});
