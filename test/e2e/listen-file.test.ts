import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { mandolin } from '../../src/hand/instrument.js';
import type { ExpectedStroke } from '../../src/listen/expected.js';
import { passPlan } from '../../src/listen/pass-plan.js';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';
import { type ArrangeOptions, arrange } from '../../src/time/arrange.js';
import { chartTake, type TakenStroke } from '../listen/chart-take.js';
import { instruments, rate, renderable, rendered } from '../listen/rendered.js';
import { cleanEnv, demo, freshFolder, program } from './harness.js';

const folder = freshFolder();
afterAll(() => folder.remove());

function listen(...words: readonly string[]): { status: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, 'listen', ...words], {
    encoding: 'utf8',
    env: cleanEnv(folder.path),
  });
  return { status, out: stdout, err: stderr };
}

function wav(name: string, samples: Float32Array): string {
  const path = join(folder.path, name);
  const sound = wavSamples(samples);
  writeFileSync(path, Buffer.concat([wavHeader(rate, sound.length), sound]));
  return path;
}

/** The strokes of a pass of a demo chart, in its own key. */
function strokesOf(path: string): readonly ExpectedStroke[] {
  const read = readChart(readFileSync(path));
  if (!read.ok) throw new Error(path);
  const options: ArrangeOptions = { key: read.value.key, instrument: mandolin, share: 1 };
  return passPlan(read.value, arrange(read.value, options), options).expected;
}

const chart = demo('half-a-mile-of-fog');

describe('what cannot be judged', () => {
  it('says what it lacks', () => {
    expect(listen()).toMatchObject({ status: 2, out: '' });
    expect(listen('take.wav')).toStrictEqual({
      status: 2,
      out: '',
      err: 'barkline: the chart that was played is missing\nwrite --chart CHART after take.wav\n',
    });
    expect(listen('nowhere.wav', '--chart', chart)).toStrictEqual({
      status: 2,
      out: '',
      err: 'barkline: nowhere.wav cannot be read: there is no such file\nname a WAV file\n',
    });
    expect(listen('--calibrate', 'take.wav')).toMatchObject({ status: 2, out: '' });
  });

  it.each([
    ['silence', new Float32Array(3 * rate), /there is no sound in/],
    [
      'a hum',
      Float32Array.from({ length: 3 * rate }, (_, at) => 0.2 * Math.sin(at / 70)),
      /no strokes were found in/,
    ],
    ['nothing', new Float32Array(0), /there is no sound in/],
  ])('says in one sentence that there is no stroke in %s', (name, samples, sentence) => {
    const { status, out, err } = listen(wav(`${name}.wav`, samples), '--chart', chart);
    expect({ status, out }).toStrictEqual({ status: 1, out: '' });
    expect(err.split('\n')).toHaveLength(3);
    expect(err).toMatch(sentence);
  });

  it('says that a file is not a WAV, and that a chart has faults', () => {
    expect(listen(chart, '--chart', chart)).toMatchObject({ status: 1, out: '' });
    expect(listen(chart, '--chart', chart).err).toContain('it is not a WAV file');
    const broken = join(folder.path, 'broken.yaml');
    writeFileSync(broken, 'title: Broken Weir\nkey: G\nsections:\n  A: |\n    1 1 9 1\n');
    const { status, err } = listen(wav('hum.wav', new Float32Array(rate)), '--chart', broken);
    expect(status).toBe(1);
    expect(err).toContain('broken.yaml:5:');
  });
});

const lack = renderable();
if (lack) console.log(`left out: recordings are rendered, and ${lack}`);

interface Judged {
  readonly onsets: readonly { at: number; kind: string; strength: number }[];
  readonly strokes: readonly {
    bar: number;
    beat: number;
    expected: string;
    heard: string | null;
    lateMs: number | null;
    ringMs: number | null;
    confidence: number;
    pass: number;
  }[];
  readonly pass: {
    meanMs: number;
    spreadMs: number;
    clean: boolean;
    startsAt: number;
    tempo: { first: number; last: number };
    wrong: readonly { bar: number; expected: string; heard: string | null }[];
    rang: readonly { bar: number; beat: number; ringMs: number }[];
    changes: readonly { from: string; to: string; late: number; lateMs: number | null; bars: number[] }[];
  };
  readonly passes: readonly { startsAt: number }[];
}

describe.runIf(lack === null)('a recording with known faults', () => {
  let expected: readonly ExpectedStroke[] = [];
  let played: TakenStroke[] = [];
  let file = '';
  const share = 0.83;
  const start = 3140;
  const entryOf = (bar: number): number => expected.find((one) => one.bar === bar - 1)?.entry ?? -1;

  beforeAll(() => {
    expected = strokesOf(chart);
    const five = expected.find(({ chord }) => chord.number === '5')?.chord;
    if (!five) throw new Error('the chart has no 5');
    const ringing = expected.findIndex(({ bar, kind }) => bar === 17 && kind === 'chop');
    played = chartTake(expected, {
      seed: 71,
      timeOf: (place) => start + place / share,
      jitter: 10,
      // In bar 3 the 4 is a 5; into the 2^7 of bar 21 the old chord goes on for half a bar; a chop of bar 18 rings on.
      wrong: new Map([[entryOf(3), five]]),
      late: new Map([[entryOf(21), 2]]),
      ring: new Set([ringing]),
    });
    file = wav('take.wav', rendered(played, instruments.mandolin));
  });

  it('is judged as a document', () => {
    const { status, out, err } = listen(file, '--chart', chart, '--json');
    expect(status).toBe(0);
    // A slow machine says how far it is, and nothing else.
    expect(err.split('\n').filter((line) => !/^(listening to .*: \d+ %)?$/.test(line))).toStrictEqual([]);
    const judged = JSON.parse(out) as Judged;
    expect(judged.passes).toHaveLength(1);
    expect(Math.abs(judged.pass.startsAt - start / 1000)).toBeLessThan(0.03);
    expect(Math.abs(judged.pass.tempo.first - 188 * share)).toBeLessThan(1);
    // All strokes are there, each at its time but for what is constant.
    expect(judged.strokes).toHaveLength(expected.length);
    const heard = judged.strokes.flatMap(({ lateMs }, index) =>
      lateMs === null
        ? []
        : [{ lateMs, truth: (played[index]?.at ?? 0) - start - (expected[index]?.at ?? 0) / share }],
    );
    expect(heard.length).toBeGreaterThan(0.97 * expected.length);
    const off = heard.map(({ lateMs, truth }) => Math.abs(lateMs - truth)).sort((one, other) => one - other);
    expect(off[Math.floor(0.9 * off.length)]).toBeLessThan(8);
    expect(judged.onsets.length).toBeLessThanOrEqual(expected.length + 2);
    // What was wrong is found, and nothing else.
    expect(judged.pass.clean).toBe(false);
    expect(judged.pass.wrong).toMatchObject([{ bar: 3, expected: 'C', heard: 'D' }]);
    expect(judged.pass.changes.filter(({ late }) => late > 0)).toMatchObject([
      { from: '1', to: '2^7', late: 1, bars: [21] },
    ]);
    expect(judged.pass.rang.map(({ bar }) => bar)).toContain(18);
    const right = judged.strokes.filter(({ bar }) => ![3, 21].includes(bar));
    expect(right.filter((one) => one.heard === one.expected).length).toBeGreaterThan(0.95 * right.length);
    expect(judged.strokes.find(({ bar, beat }) => bar === 3 && beat === 2)).toMatchObject({
      expected: 'C',
      heard: 'D',
      pass: 1,
    });
  });

  it('is judged in words, the worst first, on less than a screen', () => {
    const { status, out } = listen(file, '--chart', chart);
    expect(status).toBe(0);
    const lines = out.trimEnd().split('\n');
    expect(lines[0]).toBe('Half a Mile of Fog, key G');
    expect(lines[1]).toBe('not clean; begins at 0:03.1, 156 bpm');
    expect(lines.slice(2, 4).sort()).toStrictEqual([
      '  4 was not the chord in bar 3: it sounded like 5',
      '  Late into 2^7: 1 was still played (bar 21)',
    ]);
    expect(lines.length).toBeLessThanOrEqual(6);
  });

  it('is judged at a tempo that is told, and refused in one far away', () => {
    const told = JSON.parse(listen(file, '--chart', chart, '--tempo', '156', '--json').out) as Judged;
    expect(told.pass.tempo).toStrictEqual({ first: 156, last: 156 });
    expect(told.pass.wrong).toMatchObject([{ bar: 3 }]);
    const other = listen(file, '--chart', demo('copperwort-lane'));
    expect(other).toMatchObject({ status: 1, out: '' });
    expect(other.err).toContain('but they do not match the chart');
  });
});
