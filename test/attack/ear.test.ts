import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { closeSync, constants, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { cleanEnv, freshFolder, pause, until } from '../e2e/harness.js';

const runner = fileURLToPath(new URL('../e2e/ear-run.mjs', import.meta.url));
const folder = freshFolder();
const running: ChildProcess[] = [];
let pipes = 0;
afterEach(() => {
  for (const child of running.splice(0)) child.kill('SIGKILL');
});
afterAll(() => folder.remove());

/** An ear at a pipe, and what it tells. */
function listens() {
  pipes += 1;
  const path = join(folder.path, `microphone-${pipes}`);
  execFileSync('mkfifo', [path]);
  const pipe = openSync(path, constants.O_RDWR | constants.O_NONBLOCK);
  const child = spawn(process.execPath, [runner, `raw:48000:${path}`, '60'], {
    env: cleanEnv(folder.path),
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  running.push(child);
  let text = '';
  child.stdout?.on('data', (data: Buffer) => {
    text += data;
  });
  const told = () =>
    text
      .split('\n')
      .slice(0, -1)
      .map((line) => JSON.parse(line) as Record<string, unknown> & { kind: string });
  const ear = () =>
    Number(
      execFileSync('pgrep', ['-P', String(child.pid)], { encoding: 'utf8' })
        .trim()
        .split('\n')
        .at(-1),
    );
  const write = (bytes: Uint8Array) => {
    try {
      writeSync(pipe, bytes);
    } catch {
      // The pipe is full: what is not heard is lost, as at a microphone.
    }
  };
  return { told, ear, write, close: () => closeSync(pipe) };
}

const block = 480;
const bytesOf = (samples: Float32Array): Uint8Array => new Uint8Array(samples.buffer);
const noise = (level: number): Float32Array =>
  Float32Array.from({ length: block }, () => level * (Math.random() - 0.5));
/** A plucked string, ten ms of each. */
const pluck = Array.from({ length: 20 }, (_, piece) =>
  Float32Array.from({ length: block }, (_, at) => {
    const second = (piece * block + at) / 48_000;
    return 0.5 * Math.exp(-12 * second) * Math.sin(2 * Math.PI * 392 * second) + 1e-3 * (Math.random() - 0.5);
  }),
);

async function strokesAfter(one: ReturnType<typeof listens>): Promise<number> {
  for (let piece = 0; piece < 60; piece += 1) {
    one.write(bytesOf(noise(2e-3)));
    await pause(10);
  }
  const before = one.told().filter(({ kind }) => kind === 'stroke').length;
  for (let time = 0; time < 3; time += 1)
    for (let piece = 0; piece < 50; piece += 1) {
      one.write(bytesOf(pluck[piece] ?? noise(2e-3)));
      await pause(10);
    }
  await pause(900);
  return one.told().filter(({ kind }) => kind === 'stroke').length - before;
}

describe('an ear at a pipe', () => {
  it.each<[string, (one: ReturnType<typeof listens>, piece: number) => void]>([
    ['what is not a number', (one) => one.write(bytesOf(new Float32Array(block).fill(Number.NaN)))],
    ['infinite samples', (one) => one.write(bytesOf(new Float32Array(block).fill(Number.NEGATIVE_INFINITY)))],
    [
      'huge samples',
      (one, piece) => one.write(bytesOf(new Float32Array(block).fill(piece % 2 ? 3e38 : -3e38))),
    ],
    ['bytes of any kind', (one) => one.write(Uint8Array.from({ length: 1921 }, () => Math.random() * 256))],
  ])('hears strokes again behind %s, and its process lives', async (_, garbage) => {
    const one = listens();
    await until(() => one.told().some(({ kind }) => kind === 'opened'), 10_000);
    const pid = one.ear();
    for (let piece = 0; piece < 100; piece += 1) {
      garbage(one, piece);
      await pause(10);
    }
    // Whole samples again, whatever came before.
    one.write(new Uint8Array((4 - ((100 * 1921) % 4)) % 4));
    expect(await strokesAfter(one)).toBeGreaterThanOrEqual(2);
    expect(one.ear()).toBe(pid);
    const bad = one
      .told()
      .filter((message) =>
        Object.values(message).some(
          (value) => value !== null && typeof value === 'number' && !Number.isFinite(value),
        ),
      );
    expect(bad).toStrictEqual([]);
    one.close();
  });

  it('is looked after when it stands still for three seconds, and hears again', async () => {
    const one = listens();
    await until(() => one.told().some(({ kind }) => kind === 'opened'), 10_000);
    const pid = one.ear();
    process.kill(pid, 'SIGSTOP');
    const end = performance.now() + 3000;
    while (performance.now() < end) {
      one.write(bytesOf(noise(2e-3)));
      await pause(10);
    }
    try {
      process.kill(pid, 'SIGCONT');
    } catch {
      // It was ended meanwhile, and another took its place.
    }
    expect(await strokesAfter(one)).toBeGreaterThanOrEqual(1);
    one.close();
  });
});
