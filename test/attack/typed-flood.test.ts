import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { hanging, noteOns, playersMarked, settled, until } from '../e2e/harness.js';
import { intoPipe } from './into-pipe.js';

const { play, env, fromNow } = intoPipe();

/** A chart that plays plainly while something is written to it. */
function playing(mark: string) {
  const heard = fromNow();
  const [file, ...words] = play('tollhouse-kettle', '--plain', '--passes', '9');
  const child = spawn(file, words, { env: env(mark), stdio: ['pipe', 'pipe', 'pipe'] });
  child.stdin.on('error', () => {});
  let out = '';
  let err = '';
  let taken = 0;
  child.stdout.on('data', (data: Buffer) => {
    taken += data.length;
    out = (out + data).slice(-20_000);
  });
  child.stderr.on('data', (data: Buffer) => {
    err += data;
  });
  const ended = new Promise<number | string | null>((resolve) =>
    child.on('close', (code, signal) => resolve(code ?? signal)),
  );
  return {
    child,
    ended,
    out: () => out,
    err: () => err,
    taken: () => taken,
    heard,
  };
}

/** Resident memory of a process, MB. */
function memory(pid: number): number {
  return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1]) / 1024;
}

describe('what is typed without end', () => {
  it('makes neither the click late nor the program large, and Ctrl-C ends it in silence', async () => {
    const { child, ended, heard, taken } = playing('flood');
    expect(await until(() => noteOns(heard()).length > 4)).toBe(true);
    const chunk = 'where\n'.repeat(2000);
    const flood = (): void => {
      while (child.stdin.writable && child.stdin.write(chunk));
    };
    child.stdin.on('drain', flood);
    flood();
    expect(await until(() => taken() > 200_000, 20_000)).toBe(true);
    const from = noteOns(heard()).length;
    const before = memory(child.pid ?? 0);
    expect(await until(() => noteOns(heard()).length > from + 20, 20_000)).toBe(true);
    expect(memory(child.pid ?? 0)).toBeLessThan(before + 150);
    // The clicks of two beats a bar at 118: none is missing, none is late by much, whatever is answered meanwhile.
    const clicks = noteOns(heard())
      .filter(({ bytes }) => bytes[0] === 0x99)
      .slice(-8);
    const gaps = clicks.slice(1).map(({ time }, index) => time - (clicks[index]?.time ?? 0));
    for (const gap of gaps) expect(Math.abs(gap - 60_000 / 118)).toBeLessThan(60);
    child.kill('SIGINT');
    expect(await ended).toBe(130);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    expect(playersMarked('flood')).toEqual([]);
  }, 90_000);

  it('a line without an end, and bytes that are no text: a sentence each, and the music goes on', async () => {
    const { child, ended, heard, out, err } = playing('junk');
    expect(await until(() => noteOns(heard()).length > 4)).toBe(true);
    for (let part = 0; part < 40; part += 1) child.stdin.write('x'.repeat(100_000));
    child.stdin.write('\n');
    child.stdin.write(Buffer.from([0xff, 0xfe, 0x00, 0x1b, 0x5b, 0x32, 0x4a, 0x07, 0x0a]));
    child.stdin.write('where\n');
    expect(await until(() => /^The Tollhouse Kettle: bar/m.test(out()), 15_000)).toBe(true);
    expect(out()).toMatch(/^a line has at most 300 characters; this one has 4096$/m);
    expect(out()).toMatch(/is not a command/);
    expect(out()).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f]/);
    expect(err()).not.toMatch(/^ +at /m);
    const count = noteOns(heard()).length;
    expect(await until(() => noteOns(heard()).length > count + 4)).toBe(true);
    child.stdin.write('quit\n');
    expect(await ended).toBe(0);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
  }, 60_000);

  it('one that goes away in the middle of a line: the music plays on to its end', async () => {
    const { child, ended, heard } = playing('gone');
    expect(await until(() => noteOns(heard()).length > 4)).toBe(true);
    child.stdin.write('end\ntempo 400\ntem');
    child.stdin.destroy();
    expect(await ended).toBe(0);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
  }, 60_000);
});
