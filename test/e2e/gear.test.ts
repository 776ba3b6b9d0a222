import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  type Arrival,
  cleanEnv,
  freshFolder,
  hanging,
  noteOffs,
  noteOns,
  PipeReader,
  pause,
  playersMarked,
  program,
  settled,
  until,
} from './harness.js';

/*
 * The built program and gear around it, over named pipes: clock out, several outputs, a clock that is followed, and a
 * process that is stopped for a while.
 */

const folder = freshFolder();
let reader: PipeReader;
let other: PipeReader;

beforeAll(() => {
  reader = new PipeReader(folder.path);
  other = new PipeReader(folder.path);
});

afterAll(() => {
  reader.close();
  other.close();
  folder.remove();
});

/** Only what arrives from now on. */
function fromNow(from: PipeReader): () => Arrival[] {
  const before = from.arrivals().length;
  return () => from.arrivals().slice(before);
}

/** A chart of whole bars at a tempo in which a beat lasts half a second. */
function chart(name: string, bars: string): string {
  const path = join(folder.path, `${name}.yaml`);
  writeFileSync(path, `title: Bolt Lane\nkey: G\ntempo: 120\nmeter: 4/4\nsections:\n  V: |\n    ${bars}\n`);
  return path;
}

function start(mark: string, ...words: string[]) {
  const child = spawn(process.execPath, [program, 'play', ...words, '--plain'], {
    env: cleanEnv(folder.path, { BARKLINE_TEST: mark }),
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const told = { out: '', err: '' };
  child.stdout.on('data', (data: Buffer) => {
    told.out += data;
  });
  child.stderr.on('data', (data: Buffer) => {
    told.err += data;
  });
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
  return { child, told, ended };
}

const only = (arrivals: readonly Arrival[], status: number): Arrival[] =>
  arrivals.filter((one) => one.bytes[0] === status);
const median = (values: readonly number[]): number =>
  [...values].sort((one, two) => one - two)[Math.floor(values.length / 2)] ?? Number.NaN;

describe('gear that follows', () => {
  it('is sent 24 pulses a quarter, start with the music, and stop at its end', async () => {
    const heard = fromNow(reader);
    const run = start(
      'clock',
      chart('clock', '1 4 1 5'),
      '--out',
      `raw:${reader.path}`,
      '--send-clock',
      '--stats',
    );
    expect(await run.ended).toBe(0);
    await settled(heard);
    const pulses = only(heard(), 0xf8);
    // A bar of count-in and four of music, four quarters each (MIDI 1.0: 24 pulses a quarter).
    expect(pulses.length).toBeGreaterThanOrEqual(24 * 4 * 5);
    expect(pulses.length).toBeLessThanOrEqual(24 * 4 * 5 + 1);
    // 60 000 ms / 120 / 24 = 20.8333 ms, over the whole run.
    const [first, last] = [pulses[0]?.time ?? 0, pulses.at(-1)?.time ?? 0];
    expect((last - first) / (pulses.length - 1)).toBeCloseTo(20.8333, 1);
    const kinds = heard()
      .filter(({ bytes }) => [0xfa, 0xfb, 0xfc, 0xf2].includes(bytes[0] ?? 0))
      .map(({ bytes }) => bytes[0]);
    expect(kinds).toEqual([0xfa, 0xfc]);
    const atStart = heard().findIndex(({ bytes }) => bytes[0] === 0xfa);
    expect(only(heard().slice(0, atStart), 0xf8)).toHaveLength(24 * 4);
    expect(run.told.err).toMatch(
      /lateness of \d+ messages: half within [\d.]+ ms, 99 % within [\d.]+, worst [\d.]+(?!\d|.*missed)/,
    );
  });

  it('is told the place when the music begins elsewhere', async () => {
    const heard = fromNow(reader);
    const run = start(
      'place',
      chart('place', '1 4 1 5'),
      '--out',
      `raw:${reader.path}`,
      '--send-clock',
      '--from',
      '2',
      '--count-in',
      '0',
    );
    expect(await run.ended).toBe(0);
    // MIDI 1.0: song position counts six clocks, least significant seven bits first; bar 2 of four in 4/4 is 16.
    expect(only(heard(), 0xf2)[0]?.bytes).toEqual([0xf2, 0x10, 0x00]);
    expect(only(heard(), 0xfb)).toHaveLength(1);
    expect(only(heard(), 0xfa)).toHaveLength(0);
  });
});

describe('several outputs', () => {
  it('are sent the same at once', async () => {
    const [one, two] = [fromNow(reader), fromNow(other)];
    const run = start(
      'two',
      chart('two', '1 4'),
      '--out',
      `raw:${reader.path}`,
      '--out',
      `raw:${other.path}`,
      '--voices',
      'click,bass,low,chop',
    );
    expect(await run.ended).toBe(0);
    await settled(one);
    await settled(two);
    const bytes = (list: readonly Arrival[]) => list.map((arrival) => arrival.bytes.join(' '));
    expect(noteOns(one()).length).toBeGreaterThan(20);
    expect(bytes(two())).toEqual(bytes(one()));
    expect(hanging(one())).toEqual([]);
  });
});

describe('an external clock', () => {
  /** Sends start and pulses into a pipe from a process of its own, at so many ms each, jittered by some. */
  function leader(path: string, pulses: number, ms: number, jitter: number) {
    const code = `
      const fs = require('node:fs');
      const out = fs.openSync(${JSON.stringify(path)}, 'r+');
      const never = new Int32Array(new SharedArrayBuffer(4));
      const now = () => { const [s, n] = process.hrtime(); return s * 1000 + n / 1e6; };
      const wait = (to) => { while (now() < to) Atomics.wait(never, 0, 0, Math.max(0.05, to - now() - 0.2)); };
      const begin = now() + 50;
      let state = 9;
      const random = () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
      // Two beats of pulses before the start, so that the tempo is known.
      for (let index = -48; index < ${pulses}; index += 1) {
        wait(begin + (index + 48) * ${ms} + (random() * 2 - 1) * ${jitter});
        if (index === 0) fs.writeSync(out, Buffer.of(0xfa));
        fs.writeSync(out, Buffer.of(0xf8));
      }
      fs.writeSync(out, Buffer.of(0xfc));
      console.log(begin + 48 * ${ms});`;
    const child = spawn(process.execPath, ['-e', code], { stdio: ['ignore', 'pipe', 'inherit'] });
    let text = '';
    child.stdout.on('data', (data: Buffer) => {
      text += data;
    });
    return new Promise<number>((resolve) => child.on('close', () => resolve(Number(text))));
  }

  it('starts, leads and stops the music', async () => {
    const heard = fromNow(reader);
    const source = new PipeReader(folder.path);
    source.close();
    const run = start(
      'follow',
      chart('follow', '1 4 1 5 1 4 1 5'),
      '--out',
      `raw:${reader.path}`,
      '--follow',
      `raw:${source.path}`,
      '--passes',
      '9',
    );
    expect(await until(() => run.told.err.includes('waiting for the clock of'))).toBe(true);
    await pause(200);
    expect(noteOns(heard())).toEqual([]);
    // 100 quarters a minute, though the chart says 120: a pulse lasts 25 ms. Six bars.
    const begin = await leader(source.path, 24 * 24, 25, 5);
    await pause(300);
    const clicks = noteOns(heard()).filter(({ bytes }) => bytes[0] === 0x99);
    expect(clicks.length).toBeGreaterThanOrEqual(23);
    expect(clicks.length).toBeLessThanOrEqual(24);
    // Each click on its quarter; the machine that runs the tests adds its own lateness to the jitter sent.
    // On a busy machine the first quarter may be over before the tempo is known.
    const first = Math.round(((clicks[0]?.time ?? 0) - begin) / 600);
    expect([0, 1]).toContain(first);
    const off = clicks.map(({ time }, index) => time - begin - (index + first) * 600);
    expect(Math.abs(median(off))).toBeLessThan(6);
    expect(hanging(heard())).toEqual([]);
    const before = noteOns(heard()).length;
    await pause(300);
    expect(noteOns(heard())).toHaveLength(before);
    run.child.kill('SIGTERM');
    await run.ended;
    expect(playersMarked('follow')).toEqual([]);
  });
});

describe('a player that is stopped for a while', () => {
  it('ends what is overdue first, repays nothing, and is in the right place', async () => {
    const heard = fromNow(reader);
    const run = start(
      'stopped',
      chart('stopped', '1~ 4~ 1~ 5~ 1 4 1 5 1 4 1 5'),
      '--out',
      `raw:${reader.path}`,
      '--voices',
      'click,bass,low,chop',
      '--count-in',
      '0',
    );
    expect(await until(() => noteOns(heard()).length >= 8)).toBe(true);
    const begin = noteOns(heard())[0]?.time ?? 0;
    const [pid] = playersMarked('stopped');
    process.kill(pid as number, 'SIGSTOP');
    await pause(5000);
    const before = heard().length;
    process.kill(pid as number, 'SIGCONT');
    expect(await until(() => heard().length > before + 20)).toBe(true);
    const after = heard().slice(before);
    const firstOn = after.findIndex(({ bytes }) => (bytes[0] ?? 0) >> 4 === 9);
    expect(after.slice(0, firstOn).every(({ bytes }) => (bytes[0] ?? 0) >> 4 === 8)).toBe(true);
    // No burst: of the beats that were missed none comes late.
    const resumed = after[0]?.time ?? 0;
    const ons = noteOns(after);
    expect(ons.filter(({ time }) => time < resumed + 30).length).toBeLessThanOrEqual(6);
    for (const { time } of ons.filter(({ bytes }) => bytes[0] === 0x99)) {
      const beat = (time - begin) / 500;
      expect(Math.abs(beat - Math.round(beat)) * 500).toBeLessThan(60);
    }
    run.child.kill('SIGTERM');
    await run.ended;
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    expect(noteOffs(heard())).toHaveLength(noteOns(heard()).length);
  });
});
