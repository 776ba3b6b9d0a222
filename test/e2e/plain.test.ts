import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import { arrange } from '../../src/time/arrange.js';
import { millisecondsPerTick } from '../../src/time/units.js';
import {
  type Arrival,
  cleanEnv,
  demo,
  freshFolder,
  hanging,
  noteOffs,
  noteOns,
  PipeReader,
  playersMarked,
  program,
  settled,
  until,
} from './harness.js';
import { Screen } from './screen.js';

const folder = freshFolder();
let reader: PipeReader;

beforeAll(() => {
  reader = new PipeReader(folder.path);
});
afterAll(() => {
  reader.close();
  folder.remove();
});

/** Only what arrives from now on. */
function fromNow(): () => Arrival[] {
  const before = reader.arrivals().length;
  return () => reader.arrivals().slice(before);
}

function start(mark: string, ...words: string[]) {
  return spawn(process.execPath, [program, 'play', ...words, '--plain', '--out', `raw:${reader.path}`], {
    env: cleanEnv(folder.path, { BARKLINE_TEST: mark }),
    stdio: ['ignore', 'pipe', 'pipe'],
  });
}

function ended(child: ReturnType<typeof start>): Promise<{ code: number | null; out: string; err: string }> {
  let out = '';
  let err = '';
  child.stdout.on('data', (data: Buffer) => {
    out += data;
  });
  child.stderr.on('data', (data: Buffer) => {
    err += data;
  });
  return new Promise((resolve) => {
    child.on('close', (code) => resolve({ code, out, err }));
  });
}

describe('a chart played plainly into a pipe', () => {
  it('sends what the timeline has, when it has it, and ends every note', async () => {
    const heard = fromNow();
    const result = await ended(
      start(
        'whole',
        demo('tollhouse-kettle'),
        '--passes',
        '1',
        '--tempo',
        '400',
        '--voices',
        'click,bass,low,chop',
      ),
    );
    expect(result.err).toContain('playing to: raw');
    expect(result.code).toBe(0);
    const reading = readChart(readFileSync(demo('tollhouse-kettle')));
    if (!reading.ok) throw new Error('the demo chart does not read');
    const share = 400 / reading.value.tempo.bpm;
    const { score, bars } = arrange(reading.value, { key: reading.value.key, share, instrument: mandolin });
    expect(result.out.split('\n').filter((line) => line.startsWith('pass 1 bar'))).toHaveLength(bars.length);

    const ons = noteOns(heard());
    // Beside the score, two clicks a bar, and a bar of count-in.
    expect(ons).toHaveLength(score.notes.flat().length + (bars.length + 1) * 2);
    expect(noteOffs(heard())).toHaveLength(ons.length);
    expect(hanging(heard())).toEqual([]);

    // In cut time a beat is a half note: the clicks of the count-in and of all bars stand one apart: the reader's stamps against the timeline.
    const clicks = ons.filter((one) => one.bytes[0] === 0x99);
    expect(clicks).toHaveLength((bars.length + 1) * 2);
    const beat = 1920 * millisecondsPerTick(800);
    const origin = Math.min(...clicks.map((click, index) => click.time - index * beat));
    const late = clicks
      .map((click, index) => click.time - index * beat - origin)
      .sort((one, other) => one - other);
    expect(late[Math.floor(late.length / 2)]).toBeLessThan(5);
    expect(late.at(-1)).toBeLessThan(40);
    expect(playersMarked('whole')).toEqual([]);
  });

  for (const [signal, code] of [
    ['SIGTERM', 143],
    ['SIGINT', 130],
    ['SIGHUP', 129],
  ] as const) {
    it(`ends every note and leaves no process after ${signal}`, async () => {
      const heard = fromNow();
      const child = start(signal, demo('sluice-gate-morning'), '--count-in', '0');
      const result = ended(child);
      expect(await until(() => noteOns(heard()).length > 8)).toBe(true);
      child.kill(signal);
      expect((await result).code).toBe(code);
      await settled(heard);
      expect(hanging(heard())).toEqual([]);
      expect(noteOffs(heard())).toHaveLength(noteOns(heard()).length);
      expect(playersMarked(signal)).toEqual([]);
    });
  }

  it('ends every note when the parent is killed', async () => {
    const heard = fromNow();
    const child = start('parent', demo('sluice-gate-morning'), '--count-in', '0');
    const result = ended(child);
    expect(await until(() => noteOns(heard()).length > 8)).toBe(true);
    child.kill('SIGKILL');
    await result;
    expect(await until(() => playersMarked('parent').length === 0)).toBe(true);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    expect(noteOffs(heard())).toHaveLength(noteOns(heard()).length);
  });

  it('silences what a killed player left, says so, and leaves no process', async () => {
    const heard = fromNow();
    const child = start('child', demo('sluice-gate-morning'), '--count-in', '0');
    const result = ended(child);
    // Between a note-on and its note-off, so that something does hang.
    expect(await until(() => noteOns(heard()).length > 8 && hanging(heard()).length > 0)).toBe(true);
    for (const pid of playersMarked('child')) process.kill(pid, 'SIGKILL');
    const { code, err } = await result;
    expect(code).toBe(3);
    expect(err).toContain('the player process ended unexpectedly (SIGKILL)');
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    expect(playersMarked('child')).toEqual([]);
  });

  it('ends every note after Ctrl-C in a cooked terminal', async () => {
    const heard = fromNow();
    const screen = new Screen(
      80,
      24,
      `${process.execPath} ${program} play ${demo('sluice-gate-morning')} --plain --count-in 0 --out raw:${reader.path}`,
      cleanEnv(folder.path, { BARKLINE_TEST: 'cooked' }),
    );
    try {
      expect(await until(() => noteOns(heard()).length > 8)).toBe(true);
      await screen.press('C-c');
      await screen.shows('ended 130');
      await settled(heard);
      expect(hanging(heard())).toEqual([]);
      expect(noteOffs(heard())).toHaveLength(noteOns(heard()).length);
      expect(playersMarked('cooked')).toEqual([]);
    } finally {
      screen.close();
    }
  });
});
