import { EventEmitter } from 'node:events';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { type ClientMessage, PlayerClient } from '../../src/player/client.js';
import { segment } from './segments.js';

/** A child process that only remembers what it is told. */
class Child extends EventEmitter {
  connected = true;
  exitCode: number | null = null;
  signalCode: string | null = null;
  readonly stderr = new EventEmitter();
  readonly told: { kind: string }[] = [];
  readonly kill = vi.fn();
  readonly disconnect = vi.fn();

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
const kinds = (index: number): string[] => child(index).told.map((one) => one.kind);

function client(terminal: ConstructorParameters<typeof PlayerClient>[1] = null) {
  const heard: ClientMessage[] = [];
  return { heard, player: new PlayerClient((message) => heard.push(message), terminal) };
}

beforeEach(() => {
  children.length = 0;
  options.length = 0;
});

describe('PlayerClient', () => {
  it('forks a process with a session of its own, whose stderr never reaches the terminal', () => {
    client({ descriptor: 1, modes: 'sane', screen: '' });
    expect(options[0]).toMatchObject({
      detached: true,
      serialization: 'advanced',
      execArgv: [],
    });
    expect(options[0]?.stdio).toStrictEqual(['ignore', 'ignore', 'pipe', 'ipc', 1]);
    client();
    expect(options[1]?.stdio).toStrictEqual(['ignore', 'ignore', 'pipe', 'ipc']);
  });

  it('hands on what it is told, in order, and what is said', () => {
    const { player, heard } = client();
    player.open([{ kind: 'none' }]);
    player.append([segment()]);
    player.append([]);
    player.replace(10, []);
    player.send({ kind: 'play', tick: 0 });
    expect(kinds(0)).toStrictEqual(['open', 'append', 'replace', 'play']);
    child(0).emit('message', { kind: 'ready' });
    expect(heard).toStrictEqual([{ kind: 'ready' }]);
  });

  it('starts another when it dies, with the same output, and silences every note that was queued', () => {
    const { player, heard } = client();
    player.open([{ kind: 'sound' }]);
    player.append([
      segment({}, [
        [0, 10, 60],
        [5, 10, 64],
        [9, 10, 60],
      ]),
    ]);
    child(0).die('SIGKILL');
    expect(heard).toStrictEqual([{ kind: 'died', reason: 'SIGKILL' }]);
    expect(child(1).told).toStrictEqual([
      { kind: 'open', outs: [{ kind: 'sound' }], also: [] },
      { kind: 'silence', notes: [(1 << 7) | 60, (1 << 7) | 64] },
    ]);
  });

  it('listens to the living only', () => {
    const { heard } = client();
    child(0).die('SIGSEGV');
    child(0).emit('message', { kind: 'ready' });
    child(1).emit('message', { kind: 'ready' });
    expect(heard.map((one) => one.kind)).toStrictEqual(['died', 'ready']);
  });

  it('gives up on a player that keeps dying, and says so', () => {
    const { heard, player } = client();
    for (let death = 0; death < 6; death += 1) child(death).die('SIGABRT');
    expect(children).toHaveLength(6);
    expect(heard.at(-1)).toMatchObject({
      kind: 'died',
      reason: expect.stringContaining('not be started again'),
    });
    expect(() => player.send({ kind: 'pause' })).not.toThrow();
  });

  it('says how the terminal is put back, also to a player that takes another’s place', () => {
    const { player } = client({ descriptor: 1, modes: 'a:b', screen: 'off' });
    player.guardTerminal(true);
    expect(child(0).told).toStrictEqual([{ kind: 'terminal', modes: 'a:b', screen: 'off' }]);
    child(0).die('SIGKILL');
    expect(child(1).told[0]).toStrictEqual({ kind: 'terminal', modes: 'a:b', screen: 'off' });
    player.guardTerminal(false);
    expect(child(1).told.at(-1)).toStrictEqual({ kind: 'terminal', modes: '', screen: '' });
  });

  it('loses what is told to a player that has just gone, without a fault', () => {
    const { player } = client();
    child(0).connected = false;
    player.send({ kind: 'pause' });
    expect(child(0).told).toStrictEqual([]);
    child(0).connected = true;
    child(0).send = () => {
      throw new Error('channel closed');
    };
    expect(() => player.send({ kind: 'pause' })).not.toThrow();
  });

  it('quits: asks, waits for the end, and starts no other', async () => {
    const { player, heard } = client();
    const gone = player.quit();
    expect(kinds(0)).toStrictEqual(['quit']);
    child(0).emit('exit', 0, null);
    await gone;
    expect(children).toHaveLength(1);
    expect(heard).toStrictEqual([]);
    child(0).exitCode = 0;
    await expect(player.quit()).resolves.toBeUndefined();
  });

  it('makes a player leave that does not answer', () => {
    vi.useFakeTimers();
    client().player.quit();
    vi.advanceTimersByTime(10_000);
    expect(child(0).disconnect).toHaveBeenCalled();
    expect(child(0).kill).toHaveBeenCalledWith('SIGKILL');
    vi.useRealTimers();
  });

  it('ends a player that gives no sign of life, and another takes its place', () => {
    vi.useFakeTimers();
    let now = 0;
    vi.spyOn(process, 'hrtime').mockImplementation((() => [0, now * 1e6]) as never);
    const { player, heard } = client();
    const later = (seconds: number): void => {
      for (let second = 0; second < seconds; second += 1) {
        now += 1000;
        vi.advanceTimersByTime(1000);
      }
    };
    player.open([{ kind: 'none' }]);
    child(0).emit('message', { kind: 'opened' });
    later(6);
    expect(kinds(0).filter((kind) => kind === 'ping')).toHaveLength(6);
    child(0).emit('message', { kind: 'pong' });
    later(7);
    expect(child(0).kill).not.toHaveBeenCalled();
    later(1);
    expect(child(0).kill).toHaveBeenCalledExactlyOnceWith('SIGKILL');
    later(5);
    expect(child(0).kill).toHaveBeenCalledOnce();
    child(0).die('SIGKILL');
    expect(heard.map((one) => one.kind)).toStrictEqual(['opened', 'died']);
    expect(heard[1]).toMatchObject({ reason: 'it stopped answering' });
    expect(kinds(1)).toStrictEqual(['open', 'silence']);
    vi.restoreAllMocks();
    vi.useRealTimers();
  });

  it('at the end has another silence what a player left that had to be killed', async () => {
    vi.useFakeTimers();
    const { player, heard } = client();
    player.open([{ kind: 'raw', path: '/p' }]);
    player.append([segment({}, [[0, 10, 60]])]);
    child(0).emit('message', { kind: 'ready' });
    let quit = false;
    const gone = player.quit().then(() => {
      quit = true;
    });
    vi.advanceTimersByTime(1500);
    expect(child(0).kill).toHaveBeenCalledWith('SIGKILL');
    child(0).signalCode = 'SIGKILL';
    child(0).die('SIGKILL');
    await vi.advanceTimersByTimeAsync(0);
    expect(child(1).told).toStrictEqual([
      { kind: 'open', outs: [{ kind: 'raw', path: '/p' }], also: [] },
      { kind: 'silence', notes: [(1 << 7) | 60] },
    ]);
    child(1).emit('message', { kind: 'opened' });
    await vi.advanceTimersByTimeAsync(0);
    expect(kinds(1)).toStrictEqual(['open', 'silence', 'quit']);
    expect(quit).toBe(false);
    child(1).exitCode = 0;
    child(1).emit('exit', 0, null);
    await gone;
    // The owner has left already: it is told of neither.
    expect(heard).toStrictEqual([{ kind: 'ready' }]);
    expect(children).toHaveLength(2);
    vi.useRealTimers();
  });

  it('waits no longer than four seconds at the end, whatever becomes of both', async () => {
    vi.useFakeTimers();
    const { player } = client();
    player.open([{ kind: 'raw', path: '/p' }]);
    player.append([segment({}, [[0, 10, 60]])]);
    child(0).emit('message', { kind: 'ready' });
    let quit = false;
    player.quit().then(() => {
      quit = true;
    });
    const killed = (index: number): void => {
      expect(child(index).kill).toHaveBeenCalledWith('SIGKILL');
      child(index).signalCode = 'SIGKILL';
      child(index).die('SIGKILL');
    };
    await vi.advanceTimersByTimeAsync(1500);
    killed(0);
    await vi.advanceTimersByTimeAsync(2500);
    killed(1);
    await vi.advanceTimersByTimeAsync(0);
    expect(quit).toBe(true);
    vi.useRealTimers();
  });

  it('gives a player that was only just started the time to read what it is told', () => {
    vi.useFakeTimers();
    const { player } = client();
    player.open([{ kind: 'raw', path: '/p' }]);
    child(0).die('SIGKILL');
    player.quit();
    vi.advanceTimersByTime(2000);
    expect(child(1).disconnect).not.toHaveBeenCalled();
    expect(child(1).kill).not.toHaveBeenCalled();
    vi.advanceTimersByTime(2000);
    expect(child(1).kill).toHaveBeenCalledWith('SIGKILL');
    vi.useRealTimers();
  });
});
