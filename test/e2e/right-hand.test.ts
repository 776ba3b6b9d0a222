import { spawn, spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  type Arrival,
  cleanEnv,
  freshFolder,
  hanging,
  noteOns,
  PipeReader,
  program,
  settled,
} from './harness.js';

const folder = freshFolder();
let reader: PipeReader;

beforeAll(() => {
  reader = new PipeReader(folder.path);
});
afterAll(() => {
  reader.close();
  folder.remove();
});

/** A chart in G at 400, played once into the pipe after a bar of count-in: each bar's notes in the order in which they came, cut at the accents of the click. */
async function heard(name: string, text: string, ...words: string[]): Promise<Arrival[][]> {
  const file = join(folder.path, `${name}.yaml`);
  writeFileSync(file, `title: ${name}\nkey: G\ntempo: 400\n${text}`);
  const before = reader.arrivals().length;
  const since = (): Arrival[] => reader.arrivals().slice(before);
  const options = ['--plain', '--out', `raw:${reader.path}`, '--voices', 'click,bass,low,chop'];
  const child = spawn(process.execPath, [program, 'play', file, ...options, ...words], {
    env: cleanEnv(folder.path),
    stdio: 'ignore',
  });
  const code = await new Promise((resolve) => child.on('close', resolve));
  expect(code).toBe(0);
  await settled(since);
  expect(hanging(since())).toEqual([]);
  const bars: Arrival[][] = [];
  for (const one of noteOns(since())) {
    if (one.bytes[0] === 0x99 && one.bytes[1] === 76) bars.push([]);
    bars.at(-1)?.push(one);
  }
  return bars;
}

/** The bass of a bar as `note velocity`; it is on channel 3, which is 2 in a message. */
const bass = (bar: readonly Arrival[] = []): string[] =>
  bar.filter(({ bytes }) => bytes[0] === 0x92).map(({ bytes }) => `${bytes[1]} ${bytes[2]}`);
/** The notes that are no click and no bass: low notes (channel 1) and chops (channel 2) as strokes, and how loud the loudest is. */
function struck(bar: readonly Arrival[] = []): string {
  const own = bar.filter(({ bytes }) => bytes[0] === 0x90 || bytes[0] === 0x91);
  const order = own.map(({ bytes }) => (bytes[0] === 0x90 ? 'low' : 'chop'));
  const strokes = order.filter((one, index) => one === 'low' || order[index - 1] !== 'chop');
  return `${strokes.join(' ')} ${Math.max(0, ...own.map(({ bytes }) => bytes[2] ?? 0))}`.trim();
}
const clicks = (bar: readonly Arrival[] = []): number => bar.filter(({ bytes }) => bytes[0] === 0x99).length;

describe('what is heard through a pipe', () => {
  // G 31, A 33, B 35, C 36, D 38, E 40, F♯ 42; the low ones of these 28 and 30. 65 and 130 percent of 92, 86 and 96.
  it('is a count, a kick-off of bass and click, a soft verse that walks, and a tag that answers', async () => {
    const bars = await heard(
      'Lantern Walk',
      [
        'meter: 4/4',
        'bass: walk',
        'form: kickoff (banjo), V (soft), tag (: last-two, full)',
        'sections:',
        '  kickoff: |',
        '    1 5',
        '  V: |',
        '    1 4',
        '  tag: |',
        '    5 1',
        '',
      ].join('\n'),
    );
    expect(bars.map(clicks)).toEqual([4, 4, 4, 4, 4, 4, 4]);
    expect(bars.map(struck)).toEqual([
      '0',
      '0',
      '0',
      'low chop low chop 62',
      'low chop low chop 62',
      'low chop low chop 125',
      'chop 125',
    ]);
    expect(bars.map(bass)).toEqual([
      [],
      ['31 92', '35 86', '36 86'],
      ['38 92', '40 86', '42 86'],
      ['43 60', '33 56', '35 56'],
      ['36 60', '35 56', '36 56'],
      ['38 120', '28 112', '30 112'],
      ['38 125', '31 125'],
    ]);
  });

  it('is a waltz with root and fifth by turns, 2/4 in low notes and chops, and a long bar that goes on', async () => {
    const waltz = await heard('Reed Turn', 'meter: 3/4\nsections:\n  V: |\n    1 1 1 4\n');
    expect(waltz.slice(1).map((bar) => bass(bar).map((one) => one.split(' ')[0]))).toEqual([
      ['31'],
      ['38'],
      ['31'],
      ['36'],
    ]);
    const two = await heard('Hopper', 'meter: 2/4\nsections:\n  V: |\n    1 4\n');
    expect(two.slice(1).map(struck)).toEqual(['low chop low chop 96', 'low chop low chop 96']);
    const long = await heard('Six Steps', 'meter: 4/4\ncrooked: yes\nsections:\n  V: |\n    (5... 1...) 1\n');
    expect(struck(long[1])).toBe('low chop low chop low chop 96');
    expect(bass(long[1])).toEqual(['38 92', '33 80', '31 92', '38 80']);
  });

  it('walks when that is asked for, and refuses a pattern that the meter has not', async () => {
    const text = 'meter: 4/4\nsections:\n  V: |\n    1 4\n';
    expect(bass((await heard('Asked', text, '--bass', 'walk'))[1])).toEqual(['31 92', '33 86', '35 86']);
    expect(bass((await heard('Not Asked', text))[1])).toEqual(['31 92', '38 80']);
    const play = (...words: string[]) =>
      spawnSync(process.execPath, [program, 'play', join(folder.path, 'Asked.yaml'), '--plain', ...words], {
        env: cleanEnv(folder.path),
        encoding: 'utf8',
      });
    const cut = play('--pattern', 'cut', '--out', 'none');
    expect(cut.status).toBe(2);
    expect(cut.stderr).toContain(
      '“cut” is for meters felt in two, such as cut time, 2/4 or 6/8; in 4/4 use low-chop',
    );
    const misspelt = play('--bass', 'wlak', '--out', 'none');
    expect(misspelt.status).toBe(2);
    expect(misspelt.stderr).toContain('walk');
  });
});
