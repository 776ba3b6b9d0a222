import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseMidi } from 'midi-file';
import { afterAll, describe, expect, it } from 'vitest';
import { abcTune } from '../exchange/tune-charts.js';
import { cleanEnv, freshFolder } from './harness.js';

const main = fileURLToPath(new URL('../../dist/start.js', import.meta.url));
const folder = freshFolder();
afterAll(() => folder.remove());

function has(program: string): boolean {
  return spawnSync(program, ['--help']).error === undefined;
}

function run(...words: string[]) {
  return spawnSync(process.execPath, [main, ...words], {
    cwd: folder.path,
    encoding: 'utf8',
    env: cleanEnv(folder.path),
  });
}

/** The notes that are struck in a file's track, or in all of them: quarters from the first, and MIDI number. */
function struck(file: string, track: string | null): readonly { at: number; pitch: number }[] {
  const { header, tracks } = parseMidi(readFileSync(`${folder.path}/${file}`));
  const found = tracks.flatMap((events) => {
    const named = events.some((event) => event.type === 'trackName' && event.text === track);
    if (track !== null && !named) return [];
    let tick = 0;
    return events.flatMap((event) => {
      tick += event.deltaTime;
      const at = tick / (header.ticksPerBeat ?? 1);
      return event.type === 'noteOn' && event.velocity > 0 ? [{ at, pitch: event.noteNumber }] : [];
    });
  });
  const sorted = [...found].sort((one, other) => one.at - other.at);
  const first = sorted[0]?.at ?? 0;
  return sorted.map(({ at, pitch }) => ({ at: at - first, pitch }));
}

/** What both make of a tune in ABC: we by way of a chart. */
function bothOf(abc: string) {
  writeFileSync(`${folder.path}/tune.abc`, abc);
  execFileSync('abc2midi', ['tune.abc', '-o', 'theirs.mid', '-NGRA', '-NGUI', '-NFNP', '-NFER'], {
    cwd: folder.path,
  });
  const chart = run('import', 'tune.abc');
  expect(chart.status).toBe(0);
  writeFileSync(`${folder.path}/tune.yaml`, chart.stdout);
  const out = run('export', 'tune.yaml', '--to', 'midi', '--force', '--output', 'ours.mid');
  expect(out.stderr + out.status).toMatch(/0$/);
  return { ours: struck('ours.mid', 'lead'), theirs: struck('theirs.mid', null) };
}

describe.runIf(has('abc2midi'))('the tune of an exported MIDI file', () => {
  const seeds = [3, 14, 159, 2653, 58979, 323846, 264338, 327950];
  it.each(seeds)('has the pitches and onsets that abc2midi gives tune %d', (seed) => {
    const { ours, theirs } = bothOf(abcTune(seed, false));
    expect(ours.map(({ pitch }) => pitch)).toEqual(theirs.map(({ pitch }) => pitch));
    // It begins its notes a tick of its own late.
    for (const [index, { at }] of ours.entries())
      expect(Math.abs(at - (theirs[index]?.at ?? 0))).toBeLessThan(0.01);
    expect(ours.length).toBeGreaterThan(10);
  });
});

describe('a tune brought in', () => {
  it('is left out where it is not wanted, and printed as degrees where it is', () => {
    writeFileSync(`${folder.path}/own.abc`, 'X:1\nT:T\nM:4/4\nL:1/8\nK:G\nD|"G"G2 B2 d2 B2|"D"A7|\n');
    const plain = run('import', 'own.abc', '--no-melody');
    expect(plain.stdout).not.toContain('tune:');
    expect(plain.stderr).toContain('the melody is left out: 6 notes');
    writeFileSync(`${folder.path}/own.yaml`, run('import', 'own.abc').stdout);
    const text = run('export', 'own.yaml', '--to', 'text', '--tune', 'degrees').stdout;
    expect(text).toContain('5, | 1 3 5 3');
    expect(run('export', 'own.yaml', '--to', 'text').stdout).not.toContain('5, | 1 3 5 3');
    expect(run('show', 'own.yaml', '--range', 'A3-E5').stdout).toMatch(/half steps? to spare/);
    const moved = run('show', 'own.yaml', '--as', 'chart', '--key', 'A').stdout;
    expect(moved).toContain('E | A2 c2 e2 c2 | B7 |');
  });
});
