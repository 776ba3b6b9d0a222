import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import type { DiaryEntry } from '../../src/shed/diary.js';
import { cleanEnv, demo, freshFolder, program, until } from './harness.js';
import { Screen } from './screen.js';

/** What renders the robot player's strokes. */
const font = '/usr/share/sounds/sf2/FluidR3_GM.sf2';
const hasSounds =
  existsSync(font) && ['/usr/bin', '/usr/local/bin'].some((folder) => existsSync(join(folder, 'fluidsynth')));
const robotHand = fileURLToPath(new URL('robot-hand.mjs', import.meta.url));

let close: (() => void)[] = [];
afterEach(() => {
  for (const one of close.reverse()) one();
  close = [];
});

/** The program on a terminal, and a robot player who plays what it says into its microphone. */
async function robotPlays(words: string) {
  const { path: home, remove } = freshFolder();
  close.push(remove);
  const [midi, sound] = [join(home, 'midi'), join(home, 'sound')];
  execFileSync('mkfifo', [midi, sound]);
  mkdirSync(join(home, 'barkline'));
  writeFileSync(
    join(home, 'barkline', 'settings.yaml'),
    'ladder: up after 1\nvoices:\n  low: on\n  chop: on\n',
  );
  const robot: ChildProcess = spawn(
    process.execPath,
    [robotHand, midi, sound, '--way', '60', '--jitter', '10'],
    {
      stdio: ['pipe', 'pipe', 'inherit'],
    },
  );
  close.push(() => robot.kill('SIGKILL'));
  let said = '';
  robot.stdout?.on('data', (data: Buffer) => {
    said += data.toString();
  });
  if (!(await until(() => said.includes('ready'), 20_000))) throw new Error('the robot player is not ready');
  const screen = new Screen(
    100,
    30,
    `${process.execPath} ${program} ${words} --out raw:${midi} --microphone raw:${sound}`,
    cleanEnv(home),
  );
  close.push(() => screen.close());
  const diary = (): DiaryEntry[] => {
    const file = join(home, 'barkline', 'diary.jsonl');
    if (!existsSync(file)) return [];
    return readFileSync(file, 'utf8')
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
  };
  return { home, screen, diary, tell: (line: string) => robot.stdin?.write(`${line}\n`) };
}

// The robot player plays in real time: on a busy machine it is late, and not clean. Then it may try again.
describe.skipIf(!hasSounds)(
  'with both hands on the instrument (fluidsynth and its sound font)',
  { retry: 2 },
  () => {
    it('a ladder goes up with clean passes and down when wrong chords are heard, without a key', async () => {
      const { screen, diary, tell } = await robotPlays(
        `shed drill ${demo('weir-hands')} --chords 1,4 --tempo 220`,
      );
      await screen.shows('hears ');
      await screen.shows('ready');
      await screen.press('Space');
      await screen.shows('pass 3', 45_000);
      const tempo = (): number => Number(/(\d+) ♩/.exec(screen.text())?.[1]);
      const high = tempo();
      tell('shift 2');
      await screen.shows('heard: not clean', 20_000);
      const fell = await until(() => tempo() < high);
      if (!fell) await screen.press('Escape');
      expect(fell, `${screen.text()}\n${JSON.stringify(diary(), null, 1)}`).toBe(true);
      // What was heard is kept when it can no longer be overruled: when the drill is left at the latest.
      await screen.press('Escape');
      await screen.shows('ended 0');
      const [first, second, third, ...more] = diary();
      expect(more).toEqual([]);
      expect([first, second, third].map((one) => one?.result)).toEqual(['clean', 'clean', 'miss']);
      expect(second?.bpm).toBeGreaterThan(first?.bpm ?? 0);
      expect(third?.bpm).toBeGreaterThan(second?.bpm ?? 0);
      expect(third?.heard?.wrong.length).toBeGreaterThan(0);
      expect(first?.heard?.chops?.spread).toBeLessThan(20);
    }, 90_000);

    it('a sitting runs from its first card to its end without a key, and the diary has what was heard', async () => {
      const folder = freshFolder();
      close.push(folder.remove);
      const plan = join(folder.path, 'plan.yaml');
      writeFileSync(
        plan,
        [
          'plan: two pairs',
          'do:',
          '  - chords: 1 4',
          '    key: G',
          '    tempo: 180',
          '    minutes: 1',
          '  - chords: 1 5',
          '    key: A',
          '    tempo: 180',
          '    minutes: 1',
          '',
        ].join('\n'),
      );
      const { screen, diary } = await robotPlays(`shed today --plan ${plan}`);
      await screen.shows('Sitting, done', 70_000);
      expect(await until(() => diary().length >= 2, 8000), screen.text()).toBe(true);
      expect(diary().map(({ result, plan: title, key }) => `${result} ${title} ${key}`)).toEqual([
        'clean two pairs G',
        'clean two pairs A',
      ]);
      for (const { heard } of diary()) {
        expect(heard?.result).toBe('clean');
        expect(heard?.chops?.count).toBeGreaterThan(8);
      }
      await screen.press('Escape');
      await screen.shows('ended 0');
    }, 100_000);
  },
);
