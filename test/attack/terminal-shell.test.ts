import { spawn } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { hanging, noteOns, pause, playersMarked, settled, until } from '../e2e/harness.js';
import { intoPipe } from './into-pipe.js';
import { Terminal } from './terminal.js';

const { play, env, fromNow } = intoPipe();

const played = (...words: string[]) => play('sluice-gate-morning', ...words);

describe('a shell’s job control', () => {
  it('Ctrl-Z silences what is played plainly, and fg goes on with it', async () => {
    const heard = fromNow();
    const terminal = new Terminal(['bash', '--norc', '-i'], { env: env('shell', { PS1: '$ ' }) });
    try {
      terminal.type(`${played('--plain', '--passes', '9').join(' ')}\r`);
      expect(await terminal.shows('pass 1 bar 2')).toBe(true);
      terminal.type('\u001a');
      expect(await terminal.shows('Stopped')).toBe(true);
      await settled(heard);
      expect(hanging(heard())).toEqual([]);
      const silent = noteOns(heard()).length;
      await pause(1500);
      expect(noteOns(heard())).toHaveLength(silent);
      terminal.type('fg\r');
      expect(await until(() => noteOns(heard()).length > silent + 8)).toBe(true);
      expect(await terminal.shows('pass 1 bar 5')).toBe(true);
      terminal.type('\u0003');
      await settled(heard);
      expect(hanging(heard())).toEqual([]);
      terminal.type('exit\r');
      expect(await terminal.ends()).toBe(130);
    } finally {
      await terminal.close();
    }
  });

  it('a stop signal from elsewhere silences the stand and gives the terminal back', async () => {
    const heard = fromNow();
    const terminal = new Terminal(['bash', '--norc', '-i'], { env: env('shell', { PS1: '$ ' }) });
    try {
      terminal.type(`${played().join(' ')} & echo pid=$!; fg\r`);
      expect(await terminal.shows('ready')).toBe(true);
      const pid = Number(/pid=(\d+)/.exec(terminal.text)?.[1]);
      terminal.type(' ');
      expect(await until(() => noteOns(heard()).length > 4)).toBe(true);
      process.kill(pid, 'SIGTSTP');
      expect(await terminal.shows(/\u001b\[\?1049l[\s\S]*Stopped/)).toBe(true);
      await settled(heard);
      expect(hanging(heard())).toEqual([]);
      const silent = noteOns(heard()).length;
      await pause(1000);
      expect(noteOns(heard())).toHaveLength(silent);
      const before = terminal.text.length;
      terminal.type('fg\r');
      expect(await until(() => terminal.text.slice(before).includes('paused'))).toBe(true);
      terminal.type('q');
      await pause(300);
      terminal.type('exit\r');
      expect(await terminal.ends()).toBe(0);
    } finally {
      await terminal.close();
    }
  });
});

describe('readers that go away', () => {
  for (const stream of ['stdout', 'stderr'] as const) {
    it(`${stream} closed while it is played: silence, and not a word of a stack`, async () => {
      const heard = fromNow();
      const [file, ...words] = played('--plain', '--stats', '--passes', '2');
      const child = spawn(file, words, {
        env: env(stream),
        stdio: ['ignore', 'pipe', 'pipe'],
      });
      let told = '';
      child.stderr.on('data', (data: Buffer) => {
        told += data;
      });
      const ended = new Promise<number | null>((resolve) => child.on('close', (code) => resolve(code)));
      expect(await until(() => noteOns(heard()).length > 4)).toBe(true);
      child[stream].destroy();
      // It is written to at the end, with what was asked for.
      if (stream === 'stderr') child.kill('SIGTERM');
      expect(await ended).toBe(stream === 'stdout' ? 0 : 143);
      expect(told).not.toMatch(/^\s+at |Error/m);
      await settled(heard);
      expect(hanging(heard())).toEqual([]);
      expect(playersMarked(stream)).toEqual([]);
    });
  }

  it('a pipe that nobody reads does not keep a program that was ended', async () => {
    const heard = fromNow();
    // The pipe is filled before the program begins.
    const filled = `import os, sys, time
r, w = os.pipe()
os.set_blocking(w, False)
try:
    while True: os.write(w, b"x" * 4096)
except BlockingIOError: pass
os.set_blocking(w, True)
os.dup2(w, 1)
os.set_inheritable(r, True)
os.execvp(sys.argv[1], sys.argv[1:])`;
    const child = spawn('python3', ['-c', filled, ...played('--plain')], {
      env: env('unread'),
      stdio: ['ignore', 'ignore', 'ignore'],
    });
    const ended = new Promise<number | null>((resolve) => child.on('close', (code) => resolve(code)));
    expect(await until(() => noteOns(heard()).length > 4)).toBe(true);
    child.kill('SIGTERM');
    const status = await Promise.race([ended, pause(4000).then(() => 'goes on')]);
    child.kill('SIGKILL');
    expect(status).toBe(143);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
  });
});
