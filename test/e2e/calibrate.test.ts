import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { createWriteStream, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { roundTrip } from '../../src/listen/calibration.js';
import { median } from '../../src/listen/estimate.js';
import { hrtimeMs } from '../../src/player/host.js';
import { woodBlock } from '../../src/player/synth/wood-block.js';
import { mixIn, normals } from '../listen/noisy.js';
import { shapes } from '../listen/performance.js';
import { renderable, rendered, rate as renderedRate } from '../listen/rendered.js';
import { cleanEnv, freshFolder, PipeReader, program } from './harness.js';

const folder = freshFolder();
afterAll(() => folder.remove());
const children: ChildProcess[] = [];
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
});

/** So far off may be what is found where the machine is busy, ms: the room is a process like others. How exact it is, is measured with a sound card. */
const busyMs = 12;

/** What comes back for a click: so many ms after it a sound, or nothing. */
type Answer = (click: number) => { readonly ms: number; readonly sound: Float32Array } | null;

/** A room: for each click that the program plays something comes back through a pipe, in real time. */
class Room {
  readonly out: string;
  readonly microphone: string;
  private readonly reader: PipeReader;
  private readonly timer: NodeJS.Timeout;
  private written = 0;
  /** When the first click was due: a busy machine stamps clicks late, but their distance is known. */
  private first = Number.POSITIVE_INFINITY;
  private readonly heardAt: number[] = [];

  /** `clickMs`: from click to click. */
  constructor(
    name: string,
    answer: Answer,
    private readonly clickMs = 1000,
    rate = 48_000,
  ) {
    this.reader = new PipeReader(folder.path);
    this.out = `raw:${this.reader.path}`;
    const pipe = join(folder.path, `${name}-microphone`);
    this.microphone = `raw:${rate}:${pipe}`;
    execFileSync('mkfifo', [pipe]);
    const stream = createWriteStream(pipe, { flags: 'r+' });
    // What is still being written when the room is closed has no reader.
    stream.on('error', () => {});
    const begin = hrtimeMs();
    this.timer = setInterval(() => {
      const to = Math.floor(((hrtimeMs() - begin) / 1000) * rate);
      const samples = Float32Array.from({ length: to - this.written }, () => 1e-4 * (Math.random() - 0.5));
      const clicks = this.reader
        .arrivals()
        .filter(({ bytes }) => (bytes[0] as number) >> 4 === 9 && bytes[2] !== 0);
      clicks.forEach(({ time }, click) => {
        this.first = Math.min(this.first, time - click * clickMs);
        const heard = answer(click);
        if (!heard) return;
        this.heardAt[click] ??= this.first + click * clickMs + heard.ms;
        const at = Math.round((((this.heardAt[click] as number) - begin) / 1000) * rate) - this.written;
        mixIn(samples, heard.sound, at, 1);
      });
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

  /** How long after each click that was answered its answer came, ms: as it was in the end, whatever was thought while clicks were stamped late. */
  delays(): number[] {
    return this.heardAt.flatMap((at, click) => [at - this.first - click * this.clickMs]);
  }
}

const softClick = woodBlock(48_000, false).map((sample) => 0.4 * sample);

/** A sound from where it reaches a tenth of its peak: a synthesizer begins somewhat after it is told to. */
function fromAttack(sound: Float32Array): Float32Array {
  const peak = sound.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  return sound.subarray(sound.findIndex((sample) => Math.abs(sample) > 0.1 * peak));
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
    const room = new Room('room', () => ({ ms: 137, sound: softClick }));
    const ended = await listen('--out', room.out, '--microphone', room.microphone);
    room.close();
    expect(ended).toMatchObject({ status: 0 });
    const said = /round trip (\d+\.\d) ms, spread (\d+\.\d) ms \((\d+) of 16 clicks\)/.exec(ended.out);
    const was = median(room.delays());
    expect(Math.abs(Number(said?.[1]) - was)).toBeLessThan(busyMs);
    expect(Number(said?.[3])).toBeGreaterThanOrEqual(14);
    const kept = JSON.parse(readFileSync(join(folder.path, 'barkline', 'calibrations.json'), 'utf8'));
    const only = kept.pairs[JSON.stringify([room.out, room.microphone.split(':').at(-1)])];
    expect(Math.abs(only.ms - was)).toBeLessThan(busyMs);
    expect(only.headphones).toBe(false);
  });

  it('says that nothing is heard, and what to do', async () => {
    const room = new Room('deaf', () => null);
    const ended = await listen('--out', room.out, '--microphone', room.microphone);
    room.close();
    expect(ended.status).toBe(3);
    expect(ended.err).toContain('barkline: the microphone does not hear the clicks\n');
    expect(ended.err).toContain('--headphones');
  });

  const why = renderable();
  if (why !== null) console.log(`left out: a hand that chops along is rendered, and ${why}`);

  it.runIf(why === null)(
    'hears a hand with headphones, and tells its spread and drift but no lead',
    async () => {
      // Sixteen chops behind four clicks: 95 ms behind the clicks in the mean, 9 ms of spread, and ever later.
      const normal = normals(4);
      const offsets = Array.from({ length: 16 }, (_, index) => 85 + 1.4 * index + 9 * normal());
      const chops = Object.values(shapes)
        .slice(0, 4)
        .map((notes, at) => fromAttack(rendered([{ at: 0, notes, velocity: 75 + 12 * at, length: 70 }])));
      const chopAt = (click: number): ReturnType<Answer> =>
        offsets[click - 4] === undefined
          ? null
          : { ms: offsets[click - 4] as number, sound: chops[click % 4] as Float32Array };
      const room = new Room('hand', chopAt, 600, renderedRate);
      const ended = await listen('--headphones', '--out', room.out, '--microphone', room.microphone);
      room.close();
      expect(ended).toMatchObject({ status: 0 });
      expect(ended.out).not.toMatch(/round trip|lead of|behind the clicks/);
      const said =
        /(\d+) of 16 beats were heard: spread (\d+\.\d) ms, (\d+\.\d) ms (later|earlier) at the end than at the beginning/.exec(
          ended.out,
        );
      const delays = room.delays();
      const beats = delays.map((_, index) => 600 * index);
      const truth = roundTrip(
        beats,
        beats.map((at, index) => at + (delays[index] as number)),
        { from: -140, to: 450, within: 110 },
      );
      if (!truth) throw new Error('the chops do not belong together');
      expect(said?.[1]).toBe('16');
      expect(Math.abs(Number(said?.[2]) - truth.spreadMs)).toBeLessThan(4);
      const drift = Number(said?.[3]) * (said?.[4] === 'later' ? 1 : -1);
      expect(Math.abs(drift - (truth.driftMs * truth.overMs) / 60_000)).toBeLessThan(busyMs);
      const kept = JSON.parse(readFileSync(join(folder.path, 'barkline', 'calibrations.json'), 'utf8'));
      const only = kept.pairs[JSON.stringify([room.out, room.microphone.split(':').at(-1)])];
      expect(only.headphones).toBe(true);
      expect(Math.abs(only.ms - truth.ms)).toBeLessThan(busyMs);
    },
  );

  it('says so where a hand with headphones chops too little', async () => {
    const room = new Room('still', (click) => (click < 8 ? { ms: 90, sound: softClick } : null), 600);
    const ended = await listen('--headphones', '--out', room.out, '--microphone', room.microphone);
    room.close();
    expect(ended.status).toBe(1);
    expect(ended.err).toContain('barkline: too few chops were heard with the clicks\n');
  });
});
