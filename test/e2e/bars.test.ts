import { spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cleanEnv, freshFolder, hanging, noteOns, PipeReader, program, settled } from './harness.js';
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

/** Runs the program with pipes, and what it writes into them. */
function run(...words: string[]): Promise<{ code: number | null; out: string; err: string }> {
  const child = spawn(process.execPath, [program, ...words], {
    env: cleanEnv(folder.path),
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let [out, err] = ['', ''];
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

/** What arrives of the click, channel 10, while something is done. */
async function clicksOf(act: () => Promise<unknown>) {
  const before = reader.arrivals().length;
  const heard = () => reader.arrivals().slice(before);
  await act();
  await settled(heard);
  expect(hanging(heard())).toEqual([]);
  return noteOns(heard()).filter(({ bytes }) => bytes[0] === 0x99);
}

describe('bars that stand in no file', () => {
  it('are played as a chart is, in the key and tempo that are asked for', async () => {
    const before = reader.arrivals().length;
    const { code, out } = await run(
      ...['play', '--bars', '1 1 4 1 / 1 5 1 1', '--key', 'Bb', '--tempo', '400', '--passes', '1'],
      ...['--plain', '--count-in', '0', '--voices', 'bass', '--out', `raw:${reader.path}`],
    );
    await settled(() => reader.arrivals().slice(before));
    expect(code).toBe(0);
    expect(out.split('\n')[0]).toBe('1 1 4 1 / 1 5 1 1, key B flat, 400 quarters a minute, 4/4');
    expect(out).toContain('pass 1 bar 3: 4, E flat');
    const notes = noteOns(reader.arrivals().slice(before)).map(({ bytes }) => (bytes[1] as number) % 12);
    // Root and fifth, two a bar: Bb F, Bb F, Eb Bb …
    expect(notes.slice(0, 6)).toEqual([10, 5, 10, 5, 3, 10]);
    expect(notes).toHaveLength(16);
  });

  it('go round without end in a meter of their own, until the reader has enough', async () => {
    const child = spawn(
      process.execPath,
      [program, 'play', '--bars', '1 4', '--meter', '2/4', '--tempo', '400', '--plain', '--out', 'none'],
      { env: cleanEnv(folder.path), stdio: ['ignore', 'pipe', 'ignore'] },
    );
    let out = '';
    await new Promise<void>((resolve) => {
      child.stdout.on('data', (data: Buffer) => {
        out += data;
        if (out.includes('pass 3 bar 2')) child.stdout.destroy();
      });
      child.on('close', () => resolve());
    });
    expect(out.match(/pass \d bar \d/g)?.slice(0, 5)).toEqual([
      'pass 1 bar 1',
      'pass 1 bar 2',
      'pass 2 bar 1',
      'pass 2 bar 2',
      'pass 3 bar 1',
    ]);
  });

  it('are told with the place of a fault within what was typed', async () => {
    const { code, err } = await run('play', '--bars', '1 1 4 1 / 1 57 1 1');
    expect(code).toBe(1);
    expect(err.split('\n').slice(0, 3)).toEqual([
      '--bars:1:14: error: “57” can be read two ways: two bars are written “5 7”, one chord “5^7”',
      '    1 1 4 1 / 1 57 1 1',
      '                 ^',
    ]);
  });

  it('stand on the stand, take choices back, and become a chart of one’s own when a bar of them is written', async () => {
    const screen = new Screen(
      100,
      30,
      `${process.execPath} ${program} play --bars '1 4 5 1' --tempo 180 --out none`,
      cleanEnv(folder.path),
    );
    try {
      await screen.shows('ready');
      screen.type('k');
      await screen.shows('as the chart has it');
      await screen.press('Escape');
      await screen.shows('ready');
      screen.type('++');
      await screen.shows('190 ♩');
      screen.type('U');
      await screen.shows('tempo back to 180, from 190');
      screen.type('U');
      await screen.shows('nothing was chosen here');
      screen.type('b');
      await screen.shows('bar 1 of the pass');
      await screen.press('Enter');
      await screen.shows('in your own charts as');
      screen.type(' four bars');
      await screen.press('Enter');
      await screen.shows('written to');
    } finally {
      screen.close();
    }
    const charts = join(folder.path, 'barkline', 'charts');
    const kept = readdirSync(charts).filter((name) => /four-bars/.test(name));
    expect(kept).toHaveLength(1);
    expect(readFileSync(join(charts, kept[0] as string), 'utf8')).toContain('    1 4 5 1\n');
  });
});

describe('a click without a song', () => {
  it('clicks at its tempo, the first of three accented, and stops after its bars', async () => {
    let printed = '';
    const clicks = await clicksOf(async () => {
      const { code, out } = await run(
        ...['click', '300', '--meter', '3/4', '--bars', '8', '--plain', '--out', `raw:${reader.path}`],
      );
      expect(code).toBe(0);
      printed = out;
    });
    expect(printed.split('\n')[0]).toBe('Click, 300 quarters a minute, 3/4');
    expect(printed.match(/^bar \d+$/gm)).toEqual(Array.from({ length: 8 }, (_, bar) => `bar ${bar + 1}`));
    expect(clicks).toHaveLength(24);
    const accents = clicks.map(({ bytes }) => `${bytes[1]} ${bytes[2]}`);
    expect(new Set(accents.filter((_, index) => index % 3 === 0)).size).toBe(1);
    expect(new Set(accents.filter((_, index) => index % 3 !== 0)).size).toBe(1);
    expect(accents[0]).not.toBe(accents[1]);
    // 200 ms apart; the sum of 23 gaps is what counts, since a single arrival is read late on a busy machine.
    const times = clicks.map(({ time }) => time);
    const whole = (times.at(-1) as number) - (times[0] as number);
    expect(Math.abs(whole / 23 - 200)).toBeLessThan(3);
  });

  it('is heard on the screen’s keys: another meter, another tempo, and back', async () => {
    const screen = new Screen(
      80,
      24,
      `${process.execPath} ${program} click 120 --out none`,
      cleanEnv(folder.path),
    );
    try {
      await screen.shows(/bar \d+/);
      screen.type('m');
      await screen.shows(/Click +3\/4/);
      screen.type('U');
      await screen.shows('meter back to 4/4');
      screen.type('+');
      screen.type('U');
      await screen.shows('tempo back to 120, from 125');
      await screen.press('Space');
      await screen.shows('paused');
      screen.type('q');
      await screen.shows('ended 0');
    } finally {
      screen.close();
    }
  });
});
