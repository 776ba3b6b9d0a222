import { execFileSync, spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import {
  type Arrival,
  cleanEnv,
  freshFolder,
  hanging,
  noteOffs,
  noteOns,
  PipeReader,
  pause,
  program,
  settled,
  until,
} from './harness.js';

const folder = freshFolder();
const readers: PipeReader[] = [];
afterAll(() => {
  for (const reader of readers) reader.close();
  folder.remove();
});

/** A tune of our own: pick-ups within a repeat, ties over bar lines, a triplet, a last bar that is short. */
const abc = `X:1
T:Ferrule Reel
M:4/4
L:1/8
Q:1/4=240
K:G
D2|"G"G2BG d3 e|"C"e4-e2 dc|"D7"B2A2 A3 B-|"G"B2G2G2 :|
|:"G"(3ded Bd "C"e4-|"C"e2 c2 A2 c2|"D"d2 c2 B2 A2|"G"G6:|
`;

/** The same as it sounds, by hand: eighths from the first bar's start, eighths that it lasts, MIDI note in G. */
const first: readonly (readonly [number, number, number])[] = [
  [-2, 2, 62],
  [0, 2, 67],
  [2, 1, 71],
  [3, 1, 67],
  [4, 3, 74],
  [7, 1, 76],
  [8, 6, 76],
  [14, 1, 74],
  [15, 1, 72],
  [16, 2, 71],
  [18, 2, 69],
  [20, 3, 69],
  [23, 3, 71],
  [26, 2, 67],
  [28, 2, 67],
];
const second: readonly (readonly [number, number, number])[] = [
  [0, 2 / 3, 74],
  [2 / 3, 2 / 3, 76],
  [4 / 3, 2 / 3, 74],
  [2, 1, 71],
  [3, 1, 74],
  [4, 6, 76],
  [10, 2, 72],
  [12, 2, 69],
  [14, 2, 72],
  [16, 2, 74],
  [18, 2, 72],
  [20, 2, 71],
  [22, 2, 69],
  [24, 6, 67],
];
const later = (notes: typeof first, by: number) =>
  notes.map(([at, length, note]) => [at + by, length, note] as const);
const whole = [...first, ...later(first, 32), ...later(second, 64), ...later(second, 94)];

const file = join(folder.path, 'reel.yaml');

function playing(pipe: string, flags: readonly string[]) {
  const child = spawn(
    process.execPath,
    [program, 'play', file, '--plain', '--out', `raw:${pipe}`, ...flags],
    { env: cleanEnv(folder.path), stdio: 'ignore' },
  );
  const ended = new Promise<number | null>((resolve) => child.once('exit', resolve));
  return { child, ended };
}

function reader(): PipeReader {
  const made = new PipeReader(folder.path);
  readers.push(made);
  return made;
}

/** The tune has channel 4. */
const onLead = (arrivals: readonly Arrival[]): Arrival[] =>
  arrivals.filter(({ bytes }) => ((bytes[0] ?? 0) & 0x0f) === 3);

/** What is sounded of the tune: ms from the music's first beat, ms that it lasts, note. */
function soundedIn(arrivals: readonly Arrival[]): { at: number; length: number; note: number }[] {
  // An accented click begins each bar; the first is the count-in's.
  const accents = noteOns(arrivals).filter(({ bytes }) => bytes[0] === 0x99 && bytes[1] === 76);
  const start = accents[1]?.time ?? 0;
  const lead = onLead(arrivals);
  return noteOns(lead).map(({ time, bytes }) => {
    const end = noteOffs(lead).find((one) => one.time > time && one.bytes[1] === bytes[1])?.time ?? 0;
    return { at: time - start, length: end - time, note: bytes[1] as number };
  });
}

describe('an imported tune through a raw pipe', () => {
  it('has its pitches, onsets and ends in three keys', async () => {
    writeFileSync(join(folder.path, 'reel.abc'), abc);
    const imported = execFileSync(process.execPath, [program, 'import', join(folder.path, 'reel.abc')], {
      env: cleanEnv(folder.path),
      encoding: 'utf8',
    });
    writeFileSync(file, imported);
    const keys = [
      ['G', 0],
      ['A', 2],
      ['Eb', -4],
    ] as const;
    const eighth = 125;
    await Promise.all(
      keys.map(async ([key, up]) => {
        const pipe = reader();
        const { ended } = playing(pipe.path, ['--key', key, '--melody', 'others']);
        expect(await ended).toBe(0);
        await settled(() => pipe.arrivals());
        const heard = soundedIn(pipe.arrivals());
        expect(heard.map(({ note }) => note)).toEqual(whole.map(([, , note]) => note + up));
        // Only on a machine that is busy with other things is a note far off, and seldom; as a rule it is exact.
        const off = heard.map(({ at, length }, index) => {
          const [from, long] = whole[index] as readonly [number, number, number];
          return { onset: Math.abs(at - from * eighth), length: Math.abs(length - long * eighth) };
        });
        for (const one of ['onset', 'length'] as const) {
          const sorted = off.map((of) => of[one]).sort((a, b) => a - b);
          expect(sorted[Math.floor(sorted.length * 0.9)], `${key}: ${one}`).toBeLessThan(eighth / 2);
          expect(sorted[Math.floor(sorted.length / 2)], `${key}: ${one}`).toBeLessThan(10);
        }
        expect(hanging(pipe.arrivals())).toEqual([]);
        // A fiddle plays where nobody is named: General MIDI 41.
        const programs = pipe.arrivals().filter(({ bytes }) => bytes[0] === 0xc3);
        expect(programs.map(({ bytes }) => bytes[1])).toEqual([40]);
      }),
    );
  }, 60_000);

  it('sends gear nothing of the tune that was not asked for', async () => {
    const pipe = reader();
    const { ended } = playing(pipe.path, ['--loop', '1-2', '--passes', '1']);
    expect(await ended).toBe(0);
    await settled(() => pipe.arrivals());
    expect(noteOns(pipe.arrivals()).length).toBeGreaterThan(8);
    expect(onLead(pipe.arrivals())).toEqual([]);
  }, 30_000);

  it('leaves no note hanging wherever a tie is broken off', async () => {
    const tied = join(folder.path, 'tied.yaml');
    writeFileSync(
      tied,
      `title: Long Breath\nkey: D\ntempo: 240\nsections:\n  A: |\n    1 4 5 1\ntune:\n  A: |\n    D8- | D8- | D8- | D8 |\n`,
    );
    // Within the first note, about the bar lines that its tie leads over, and near its end.
    const moments = [1150, 1990, 2010, 2500, 3005, 4700];
    await Promise.all(
      moments.map(async (ms, index) => {
        const pipe = reader();
        const child = spawn(
          process.execPath,
          [program, 'play', tied, '--plain', '--melody', 'all', '--out', `raw:${pipe.path}`],
          { env: cleanEnv(folder.path), stdio: 'ignore' },
        );
        const ended = new Promise((resolve) => child.once('exit', resolve));
        expect(await until(() => noteOns(onLead(pipe.arrivals())).length > 0)).toBe(true);
        await pause(Math.max(0, ms - 1000));
        child.kill(index % 2 === 0 ? 'SIGINT' : 'SIGTERM');
        await ended;
        await settled(() => pipe.arrivals());
        expect(noteOns(onLead(pipe.arrivals()))).toHaveLength(1);
        expect(hanging(pipe.arrivals())).toEqual([]);
      }),
    );
  }, 40_000);
});
