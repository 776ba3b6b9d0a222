import { type ChildProcess, execFileSync, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import { until } from './harness.js';
import { setStage } from './stage.js';

const font = '/usr/share/sounds/sf2/FluidR3_GM.sf2';
const canPlay = !spawnSync('fluidsynth', ['--version']).error && existsSync(font);
if (!canPlay)
  console.log('fluidsynth or its sound font is not here: nobody plays for the stand to listen to');

const stage = setStage();
const robots: ChildProcess[] = [];
afterEach(() => {
  for (const robot of robots.splice(0)) robot.kill('SIGKILL');
});

/** A player that plays what the program sends into the pipe that it listens to. */
async function player(...flags: readonly string[]) {
  const folder = join(stage.folder, `robot-${Math.random().toString(36).slice(2)}`);
  mkdirSync(folder);
  const [midi, sound] = [join(folder, 'midi'), join(folder, 'sound')];
  execFileSync('mkfifo', [midi, sound]);
  const script = fileURLToPath(new URL('./robot-hand.mjs', import.meta.url));
  const robot = spawn(process.execPath, [script, midi, sound, ...flags], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  robots.push(robot);
  let said = '';
  robot.stdout?.on('data', (data: Buffer) => {
    said += data;
  });
  if (!(await until(() => said.includes('ready'), 30_000))) throw new Error('the player never was ready');
  const tell = (...lines: readonly string[]): void =>
    void robot.stdin?.write(lines.map((one) => `${one}\n`).join(''));
  return { words: `--voices click,bass,low,chop --out raw:${midi} --microphone raw:${sound}`, tell, sound };
}

function chartFile(bars: string): string {
  const file = join(stage.folder, 'heard.yaml');
  writeFileSync(file, `title: Heard\nkey: G\ntempo: 150\nform: A\nsections:\n  A: |\n    ${bars}\n`);
  return file;
}

/** The lines below the bar at hand that say what was heard. */
const said = (text: string): string => text.slice(text.indexOf('hears')).replace(/\s+/g, ' ');

describe.skipIf(!canPlay)('a pass that is heard on the stand', () => {
  it('is told with its wrong chords and its late change, and a clean one as clean', async () => {
    const { words, tell } = await player('--way', '90', '--jitter', '6');
    const file = chartFile('1 1 4 4 1 1 5 5 1 1 4 4');
    // A busy machine is no steady player.
    const config = join(stage.folder, 'config');
    mkdirSync(join(config, 'barkline'), { recursive: true });
    writeFileSync(join(config, 'barkline', 'settings.yaml'), 'listen: on, learning\n');
    const shown = stage.run(
      100,
      30,
      `${process.execPath} ${fileURLToPath(new URL('../../dist/start.js', import.meta.url))} play ${file} --passes 1 ${words}`,
      { XDG_CONFIG_HOME: config },
    );
    await shown.shows('not calibrated');
    await shown.shows(/hears [)·]{5}/);
    // The 4 of bars 3 and 4, the 5 of bars 7 and 8: two half steps too high. The change of bar 11: late.
    tell('at 9 shift 2', 'at 17 shift 0', 'at 25 shift 2', 'at 33 shift 0', 'at 41 late 130', 'at 42 late 0');
    await shown.press('Space');
    await shown.shows(/[∙◂▸○◁▷] +[∙◂▸○◁▷] +[∙◂▸○◁▷]/, 20_000);
    const first = said(await shown.shows('not clean', 40_000));
    stage.capture('listening-not-clean', shown.text());
    expect(first).toMatch(/4 was not the chord in bars? 3/);
    expect(first).toMatch(/5 was not the chord in bars? 7/);
    // On a busy machine another stroke may come late.
    expect(first).toMatch(/Late into 4: \d+ ms, [12] of 2 times \(bars? (3, )?11\)/);
    await shown.press('Escape');
    expect(await until(() => !shown.text().includes('not clean'))).toBe(true);
    await shown.press('Space');
    const second = said(await shown.shows(/^ clean /m, 40_000));
    stage.capture('listening-clean', shown.text());
    expect(second).toMatch(/Chops steady \(spread \d+ ms\)/);
    expect(second).not.toMatch(/not the chord|Late into/);
    await shown.press('q');
    await stage.expectLeft(shown);
  }, 120_000);

  it('goes on when the ear dies, says so, and marks again', async () => {
    const { words } = await player('--way', '90');
    const file = chartFile('1 1 4 4 1 1 5 5');
    const shown = stage.run(
      80,
      24,
      `${process.execPath} ${fileURLToPath(new URL('../../dist/start.js', import.meta.url))} play ${file} ${words}`,
    );
    await shown.shows(/hears [)·]{5}/);
    await shown.press('Space');
    await shown.shows('∙ ∙ ∙ ∙', 30_000);
    const children = execFileSync('pgrep', ['-P', String(shown.programPid()), '-f', 'ear/process.js'], {
      encoding: 'utf8',
    });
    process.kill(Number(children.trim().split('\n')[0]), 'SIGKILL');
    await shown.shows('the process that listens to the microphone has stopped');
    await shown.shows('hears lost');
    expect(shown.text()).toMatch(/pass \d/);
    await shown.shows('listens again');
    await shown.shows(/∙ ∙ ∙ ∙ *\n? */, 20_000);
    expect(shown.text()).toMatch(/hears [)·]{5}/);
    await shown.press('q');
    await stage.expectLeft(shown);
  }, 90_000);
});
