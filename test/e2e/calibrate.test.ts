import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { createWriteStream, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { hrtimeMs } from '../../src/player/host.js';
import { woodBlock } from '../../src/player/synth/wood-block.js';
import { cleanEnv, freshFolder, PipeReader, program } from './harness.js';

const folder = freshFolder();
afterAll(() => folder.remove());
const rate = 48_000;
const children: ChildProcess[] = [];
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
});

/** A room: what the program plays comes back as clicks through a pipe, so many ms later, in real time. */
class Room {
  readonly out: string;
  readonly microphone: string;
  private readonly reader: PipeReader;
  private readonly timer: NodeJS.Timeout;
  private written = 0;

  constructor(name: string, delayMs: number | null) {
    this.reader = new PipeReader(folder.path);
    this.out = this.reader.path;
    this.microphone = join(folder.path, `${name}-microphone`);
    execFileSync('mkfifo', [this.microphone]);
    const stream = createWriteStream(this.microphone, { flags: 'r+' });
    const begin = hrtimeMs();
    const click = woodBlock(rate, false);
    this.timer = setInterval(() => {
      const to = Math.floor(((hrtimeMs() - begin) / 1000) * rate);
      const samples = Float32Array.from({ length: to - this.written }, () => 1e-4 * (Math.random() - 0.5));
      for (const { bytes, time } of this.reader.arrivals()) {
        if (delayMs === null || (bytes[0] as number) >> 4 !== 9 || bytes[2] === 0) continue;
        const at = Math.round(((time + delayMs - begin) / 1000) * rate) - this.written;
        for (let index = Math.max(0, -at); index < click.length && at + index < samples.length; index += 1)
          samples[at + index] = (samples[at + index] as number) + 0.4 * (click[index] as number);
      }
      this.written = to;
      stream.write(new Uint8Array(samples.buffer));
    }, 10);
    this.close = () => {
      clearInterval(this.timer);
      stream.destroy();
      this.reader.close();
    };
  }

  readonly close: () => void;
}

function listen(...words: readonly string[]): Promise<{ status: number | null; out: string; err: string }> {
  const child = spawn(process.execPath, [program, 'listen', '--calibrate', ...words], {
    env: cleanEnv(folder.path),
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  children.push(child);
  const text = { out: '', err: '' };
  child.stdout.on('data', (data: Buffer) => {
    text.out += data;
  });
  child.stderr.on('data', (data: Buffer) => {
    text.err += data;
  });
  return new Promise((resolve) => child.on('close', (status) => resolve({ status, ...text })));
}

describe('calibrating', () => {
  it('finds the delay between output and microphone, and keeps it', async () => {
    const room = new Room('room', 137);
    const ended = await listen('--out', `raw:${room.out}`, '--microphone', `raw:${rate}:${room.microphone}`);
    room.close();
    expect(ended).toMatchObject({ status: 0 });
    const said = /round trip (\d+\.\d) ms, spread (\d+\.\d) ms \((\d+) of 16 clicks\)/.exec(ended.out);
    console.log(ended.out);
    expect(Math.abs(Number(said?.[1]) - 137)).toBeLessThan(4);
    expect(Number(said?.[3])).toBeGreaterThanOrEqual(14);
    const kept = JSON.parse(readFileSync(join(folder.path, 'barkline', 'calibrations.json'), 'utf8'));
    const [only] = Object.values(kept.pairs) as { ms: number; headphones: boolean }[];
    expect(Math.abs((only?.ms ?? 0) - 137)).toBeLessThan(4);
    expect(only?.headphones).toBe(false);
  });

  it('says that nothing is heard, and what to do', async () => {
    const room = new Room('deaf', null);
    const ended = await listen('--out', `raw:${room.out}`, '--microphone', `raw:${rate}:${room.microphone}`);
    room.close();
    expect(ended.status).toBe(3);
    expect(ended.err).toContain('barkline: the clicks are not heard by the microphone\n');
    expect(ended.err).toContain('--headphones');
  });
});
