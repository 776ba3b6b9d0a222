import { execFileSync } from 'node:child_process';
import { closeSync, constants, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  cleanEnv,
  demo,
  freshFolder,
  hanging,
  noteOns,
  PipeReader,
  pause,
  playersMarked,
  program,
  settled,
  until,
} from '../e2e/harness.js';
import { Terminal } from './terminal.js';

const folder = freshFolder();
const beatMs = 250;
/** Leaving takes a second at most; what is beyond is for busy machines. */
const leaveMs = 3000;
/** The same beside a busy machine as in the other attacks on the player: what a stand that waited for its ear would lose is seconds. */
const latest = 200;
let pipes = 0;
let reader: PipeReader;
let terminal: Terminal | null = null;
let open: number[] = [];

beforeEach(() => {
  reader = new PipeReader(folder.path);
});
afterEach(async () => {
  await terminal?.close();
  terminal = null;
  reader.close();
  for (const one of open) closeSync(one);
  open = [];
});
afterAll(() => folder.remove());

/** The stand plays, and listens to a pipe. */
async function plays(mark: string) {
  pipes += 1;
  const path = join(folder.path, `microphone-${pipes}`);
  execFileSync('mkfifo', [path]);
  const pipe = openSync(path, constants.O_RDWR | constants.O_NONBLOCK);
  open.push(pipe);
  const write = (bytes: Uint8Array) => {
    try {
      writeSync(pipe, bytes);
    } catch {
      // The pipe is full: what is not heard is lost, as at a microphone.
    }
  };
  const started = new Terminal(
    [
      ...[process.execPath, program, 'play', demo('weir-hands'), '--tempo', '240', '--count-in', '0'],
      ...['--click', 'every', '--out', `raw:${reader.path}`, '--microphone', `raw:${path}`],
    ],
    { env: cleanEnv(folder.path, { BARKLINE_TEST: mark }) },
  );
  terminal = started;
  expect(await started.shows('ready')).toBe(true);
  started.type(' ');
  expect(await until(() => clicks().length > 4)).toBe(true);
  const ear = () =>
    Number(
      execFileSync('pgrep', ['-P', String(started.pid), '-f', 'ear/process'], { encoding: 'utf8' })
        .trim()
        .split('\n')
        .at(-1),
    );
  return { started, write, ear };
}

const clicks = () => noteOns(reader.arrivals()).filter(({ bytes }) => ((bytes[0] ?? 0) & 15) === 9);
const noise = (level: number): Uint8Array =>
  new Uint8Array(Float32Array.from({ length: 480 }, () => level * (Math.random() - 0.5)).buffer);

/** For so long, ms, something is done every ten. */
async function keepsOn(ms: number, act: () => void): Promise<void> {
  for (const end = performance.now() + ms; performance.now() < end; await pause(10)) act();
}

/** From one click to the next it was a beat, never much more or less; the screen was drawn on, and q leaves at once. */
async function wentOn(started: Terminal, from: number, drawn: number, mark: string): Promise<void> {
  const times = clicks()
    .slice(from)
    .map(({ time }) => time);
  expect(times.length).toBeGreaterThan(8);
  // None was left out, and none came by the time of another: each is set beside an even beat that lies in the middle of them.
  const against = times.map((time, index) => time - index * beatMs);
  const middle = [...against].sort((one, other) => one - other)[against.length >> 1] as number;
  const off = against.map((one) => Math.abs(one - middle)).sort((one, other) => one - other);
  expect(off.at(-1)).toBeLessThan(latest);
  expect(off[off.length >> 1]).toBeLessThan(20);
  expect(started.bytes.length - drawn).toBeGreaterThan(times.length * 20);
  expect(started.status).toBe(null);
  const asked = performance.now();
  started.type('q');
  expect(await started.ends(leaveMs)).toBe(0);
  expect(performance.now() - asked).toBeLessThan(leaveMs);
  await settled(() => reader.arrivals());
  expect(hanging(reader.arrivals())).toStrictEqual([]);
  expect(playersMarked(mark)).toStrictEqual([]);
}

describe('the music, the screen and q', () => {
  it.each<[string, (one: Awaited<ReturnType<typeof plays>>) => Promise<void>]>([
    [
      'whose ear stands still for three seconds',
      async ({ ear, write }) => {
        const pid = ear();
        process.kill(pid, 'SIGSTOP');
        await keepsOn(3000, () => write(noise(2e-3)));
        try {
          process.kill(pid, 'SIGCONT');
        } catch {
          // It was ended meanwhile, and another took its place.
        }
        await keepsOn(500, () => write(noise(2e-3)));
      },
    ],
    [
      'whose ear stands still for good',
      async ({ ear, write }) => {
        process.kill(ear(), 'SIGSTOP');
        await keepsOn(3000, () => write(noise(2e-3)));
      },
    ],
    [
      'whose ear is killed three times',
      async ({ ear, write, started }) => {
        for (let time = 0; time < 3; time += 1) {
          process.kill(ear(), 'SIGKILL');
          await keepsOn(900, () => write(noise(2e-3)));
        }
        expect(started.text).toContain('the process that listens to the microphone has stopped');
      },
    ],
    [
      'that hear more strokes than anybody plays',
      ({ write }) => {
        let piece = 0;
        return keepsOn(3000, () => {
          piece += 1;
          write(noise(piece % 4 === 0 ? 0.9 : 1e-3));
        });
      },
    ],
    [
      'that hear far more sound than there is time',
      ({ write }) =>
        keepsOn(3000, () => {
          for (let time = 0; time < 20; time += 1) write(noise(0.5));
        }),
    ],
    [
      'that hear garbage',
      ({ write }) => keepsOn(3000, () => write(Uint8Array.from({ length: 1921 }, () => Math.random() * 256))),
    ],
  ])('are as ever on a stand %s', async (name, attack) => {
    const mark = `listening ${name}`;
    const one = await plays(mark);
    await keepsOn(500, () => one.write(noise(2e-3)));
    const [from, drawn] = [clicks().length, one.started.bytes.length];
    await attack(one);
    await wentOn(one.started, from, drawn, mark);
  });
});
