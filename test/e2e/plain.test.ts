import { spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import { arrange } from '../../src/time/arrange.js';
import { millisecondsPerTick } from '../../src/time/units.js';
import { stumblesIn } from '../ui/typed/signs.js';
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
import { freePort } from './mosquitto.js';
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

describe('what every command with --plain prints, where nothing can be typed', () => {
  const short = ['--loop', '1-4', '--tempo', '400', '--count-in', '0'];
  const songs = readdirSync(dirname(demo('weir-hands'))).filter(
    (name) => name.endsWith('.yaml') && name !== 'osier-lock-gathering.yaml',
  );
  /** Addresses are there to be copied, and a date is read as one. */
  const told = (text: string): string[] =>
    text
      .trim()
      .split('\n')
      .map((line) => line.replace(/mqtts?:\/\/\S*/g, 'an address').replace(/^\d{4}-\d\d-\d\d/, 'a date'));

  async function printed(words: readonly string[]): Promise<string[]> {
    const child = spawn(process.execPath, [program, ...words, '--plain', '--out', 'none'], {
      env: cleanEnv(folder.path),
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    const { code, out, err } = await ended(child);
    expect(code, err).toBe(0);
    return [...told(out), ...told(err)];
  }

  function expectWords(lines: readonly string[]): void {
    for (const line of lines) expect(stumblesIn(line), line).toEqual([]);
  }

  it.each(songs)('play %s', async (name) => {
    const lines = await printed(['play', join(dirname(demo('weir-hands')), name), ...short]);
    expect(lines.filter((line) => /^pass 1 bar [1-4] .*, frets /.test(line)).length).toBeGreaterThan(0);
    expectWords(lines);
  });

  it.each([
    [
      'play',
      ['play', '--bars', '1 b7 6- 5^7', '--key', 'Bb', '--passes', '1', ...short],
      /B flat.*\n[\s\S]*A flat.*\n[\s\S]*G minor/,
    ],
    ['click', ['click', '400', '--bars', '3'], /^Click, 400 quarters a minute, 4\/4\n/],
    [
      'lead',
      ['lead', demo('nine-barges-late'), '--part', 'banjo', ...short],
      /key B flat.*\ncapo 3: shapes of G; fifth string at 8\n/,
    ],
    [
      'shed ear',
      ['shed ear', '--level', 'flat-seven', '--count', '1', '--key', 'Bb', '--tempo', '200'].flatMap((one) =>
        one.split(' '),
      ),
      /^1\. key B flat, .*1, 4, 5 and flat 7; /,
    ],
    ['shed today', ['shed', 'today', '--day', 'new'], /why: /],
  ] as const)('%s', async (_, words, wanted) => {
    const lines = await printed(words);
    expect(lines.join('\n')).toMatch(wanted);
    expectWords(lines);
  });

  it('join', async () => {
    const port = await freePort();
    const how = ['--word', 'kola-tiru-bamo-sidu'];
    const led = printed([
      'lead',
      demo('nine-barges-late'),
      '--port',
      String(port),
      '--wait',
      '1',
      '--passes',
      '2',
      ...how,
      ...short,
    ]);
    const joined = printed(['join', `mqtt://127.0.0.1:${port}`, '--part', 'bass', ...how]);
    const [leader, bass] = await Promise.all([led, joined]);
    expect(bass.join('\n')).toMatch(/key B flat[\s\S]*; bass /);
    expectWords([...leader, ...bass]);
  });

  it.each([
    ['shed drill', ['shed', 'drill', demo('weir-hands'), 'pairs']],
    ['shed unseen', ['shed', 'unseen', '--seed', '1']],
  ])('%s gives the chart itself, which can be read', async (_, words) => {
    const lines = await printed(words);
    const reading = readChart(new TextEncoder().encode(lines.join('\n')));
    expect(reading.ok).toBe(true);
  });

  it('the list says that it needs commands', async () => {
    const { code, err } = await ended(
      spawn(process.execPath, [program, '--plain'], {
        env: cleanEnv(folder.path),
        stdio: ['ignore', 'pipe', 'pipe'],
      }),
    );
    expect(code).toBe(2);
    expectWords(
      err
        .trim()
        .split('\n')
        .map((line) => line.replace('--plain', '')),
    );
  });
});
