import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { openSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { stumblesIn } from '../ui/typed/signs.js';
import {
  cleanEnv,
  demo,
  freshFolder,
  hanging,
  noteOns,
  PipeReader,
  playersMarked,
  program,
  settled,
  until,
} from './harness.js';

const folder = freshFolder();
let reader: PipeReader;
let started = 0;

beforeAll(() => {
  reader = new PipeReader(folder.path);
});
afterAll(() => {
  reader.close();
  folder.remove();
});

/** The program with pipes at all its ends, as it is typed to. */
class Typed {
  out = '';
  err = '';
  readonly ended: Promise<number | string | null>;
  readonly mark = `typed ${++started}`;
  private readonly child: ChildProcessWithoutNullStreams;

  constructor(...words: string[]) {
    this.child = spawn(process.execPath, [program, ...words], {
      env: cleanEnv(folder.path, { BARKLINE_TEST: this.mark }),
      stdio: ['pipe', 'pipe', 'pipe'],
    });
    this.child.stdin.on('error', () => {});
    this.child.stdout.on('data', (data: Buffer) => {
      this.out += data;
    });
    this.child.stderr.on('data', (data: Buffer) => {
      this.err += data;
    });
    this.ended = new Promise((resolve) => this.child.on('close', (code, signal) => resolve(code ?? signal)));
  }

  /** Types a line and waits for a line that answers so. */
  async asks(line: string, wanted: RegExp, ms = 8000): Promise<string> {
    const before = this.out.length;
    this.child.stdin.write(`${line}\n`);
    const found = (): string | undefined =>
      this.out
        .slice(before)
        .split('\n')
        .find((one) => wanted.test(one));
    await until(() => found() !== undefined, ms);
    const answer = found();
    if (answer === undefined) throw new Error(`“${line}” was answered: ${this.out.slice(before)}${this.err}`);
    return answer;
  }

  says(wanted: RegExp, ms = 8000): Promise<boolean> {
    return until(() => wanted.test(this.out), ms);
  }

  type(text: string): void {
    this.child.stdin.write(text);
  }

  endInput(): void {
    this.child.stdin.end();
  }

  kill(signal: NodeJS.Signals): void {
    this.child.kill(signal);
  }
}

/** Nothing that steers a terminal, nothing written over. */
const steering = /[\u0000-\u0009\u000b-\u001f\u007f]/;

function fromNow(): () => ReturnType<PipeReader['arrivals']> {
  const before = reader.arrivals().length;
  return () => reader.arrivals().slice(before);
}

describe('a stand that is typed to', () => {
  it('leads somebody who only hears the lines from the list to the hard change and on to the next song', async () => {
    const stand = new Typed('--plain', '--out', 'none');
    await stand.asks('list', /^1 .+, \d+ quarters, 4\/4/);
    const number = (await stand.asks('list gathering', /a set, 6 songs/)).split(' ')[0];
    await stand.asks(`open ${number}`, /^Harvest gathering at Osier Lock, 7 in it; list prints them$/);
    await stand.asks(
      'run',
      /^song 1 of 6: Sluice Gate Morning, key A, 200 quarters a minute, 4\/4; begins in \d seconds$/,
    );
    await stand.asks('wait', /play begins it$/);
    await stand.asks('order', /^2 Third Lantern Down, G$/);
    await stand.asks('next', /^song 2 of 6: Third Lantern Down, key G/);
    await stand.asks('leave', /^leave, typed again, leaves the set$/);
    await stand.asks('leave', /^in the list/);
    // The song by itself, to practise its hard change.
    await stand.asks('open sluice', /^Sluice Gate Morning, key A, 200 quarters a minute, 4\/4; play begins$/);
    const hard = await stand.asks('hardest', /^the hardest change is into bar \d+/);
    expect(hard).toMatch(/loop hardest practises it$/);
    await stand.asks('loop hardest', /^loop: bars \d+ to \d+, until loop off$/);
    await stand.asks('tempo 60 %', /^tempo 120 quarters a minute, 60 percent of the chart’s$/);
    await stand.asks('play', /^plays from bar \d+, \w+, after 1 bar of count-in$/);
    expect(await stand.says(/^pass 2 bar /m, 15_000)).toBe(true);
    await stand.asks('where', /^Sluice Gate Morning: bar \d+ of 136, beat \d.*; in \d+ beats? /);
    await stand.asks('pause', /^paused at bar \d+$/);
    // And on with the set.
    await stand.asks('leave', /^in the list/);
    await stand.asks('run', /^song 1 of 6/);
    await stand.asks('next', /^song 2 of 6: Third Lantern Down/);
    await stand.asks('play', /^plays from bar 1/);
    expect(await stand.says(/^pass 1 bar 1 .*G, frets/m)).toBe(true);
    await stand.asks('quit', /^left$/);
    expect(await stand.ended).toBe(0);
    expect(stand.out).not.toMatch(steering);
    for (const line of stand.out.trim().split('\n')) expect(stumblesIn(line), line).toEqual([]);
  }, 90_000);

  it('answers each command by one line, or a list that says how many follow', async () => {
    const stand = new Typed('play', demo('ropewalk-penny'), '--plain', '--out', 'none', '--count-in', '0');
    await stand.asks('say nothing', /^no bars are announced/);
    const before = stand.out.length;
    const lines = [
      'faster',
      'key D',
      'loop 5-8',
      'nonsense',
      'voice bass off',
      'loop off',
      'voices',
      'chart',
    ];
    stand.type(`${lines.join('\n')}\n`);
    expect(await until(() => /\n68 /.test(stand.out))).toBe(true);
    const answers = stand.out.slice(before).trimEnd().split('\n');
    expect(answers.slice(0, 7)).toEqual([
      'tempo 137 quarters a minute, 104 percent of the chart’s',
      expect.stringMatching(/^key D: /),
      'loop: bars 5 to 8, until loop off',
      expect.stringMatching(/^“nonsense” is not a command/),
      'bass off, 100 percent',
      'no loop: it ends with this pass',
      '5 voices:',
    ]);
    expect(answers[12]).toBe('Ropewalk Penny, 68 bars:');
    expect(answers).toHaveLength(7 + 5 + 1 + 68);
    for (const line of answers.slice(4)) expect(stumblesIn(line), line).toEqual([]);
    stand.kill('SIGTERM');
    expect(await stand.ended).toBe(143);
  });

  it('plays on to its end when the input ends', async () => {
    const heard = fromNow();
    const stand = new Typed(
      'play',
      demo('weir-hands'),
      '--plain',
      '--out',
      `raw:${reader.path}`,
      '--loop',
      '1-4',
      '--count-in',
      '0',
    );
    stand.type('tempo 400\nsay less\n');
    stand.endInput();
    expect(await stand.ended).toBe(0);
    expect(stand.out).toContain('the end');
    // A click on each of four beats of four bars, unless the first of them was told to the player at the old tempo, too.
    expect(noteOns(heard()).filter(({ bytes }) => bytes[0] === 0x99).length).toBeGreaterThanOrEqual(16);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    expect(playersMarked(stand.mark)).toEqual([]);
  });

  it('goes round in a loop after the end of the input, until Ctrl-C ends it in silence', async () => {
    const heard = fromNow();
    const stand = new Typed(
      'play',
      demo('weir-hands'),
      '--plain',
      '--out',
      `raw:${reader.path}`,
      '--count-in',
      '0',
    );
    stand.type('loop 1-2\ntempo 400\n');
    stand.endInput();
    expect(await stand.says(/^pass 4 bar 1/m, 15_000)).toBe(true);
    stand.kill('SIGINT');
    expect(await stand.ended).toBe(130);
    await settled(heard);
    expect(hanging(heard())).toEqual([]);
    expect(playersMarked(stand.mark)).toEqual([]);
  });

  it('clicks on after the end of the input, until Ctrl-C ends it', async () => {
    const stand = new Typed('click', '400', '--plain', '--out', 'none');
    await stand.asks('click meter 3/4', /^meter 3\/4$/);
    stand.endInput();
    expect(await stand.says(/^bar 8$/m, 15_000)).toBe(true);
    stand.kill('SIGINT');
    expect(await stand.ended).toBe(130);
    expect(stand.out).not.toMatch(/^the end$/m);
  });

  it('obeys a file of commands, and ends with the pass where the chart has no end', async () => {
    const file = join(folder.path, 'commands');
    writeFileSync(file, 'passes endless\ntempo 400\n\nsay nothing\n');
    const child = spawn(
      process.execPath,
      [program, 'play', demo('tollhouse-kettle'), '--plain', '--out', 'none', '--count-in', '0'],
      { env: cleanEnv(folder.path), stdio: [openSync(file, 'r'), 'pipe', 'pipe'] },
    );
    let out = '';
    child.stdout?.on('data', (data: Buffer) => {
      out += data;
    });
    expect(await new Promise((resolve) => child.on('close', resolve))).toBe(0);
    expect(out).toContain('it goes on without end\ntempo 400 halves a minute');
    expect(out.trimEnd().endsWith('the end')).toBe(true);
  });

  it('runs a set through when nobody is there for its cards', async () => {
    const set = join(folder.path, 'short.yaml');
    // With keys of their own: what was chosen for a song on the stand is there again in a set that says nothing of it.
    const songs = [
      ['weir-hands', 'B'],
      ['ropewalk-penny', 'A'],
    ].map(
      ([name = '', key]) =>
        `  - file: ${demo(name)}\n    key: ${key}\n    form: V\n    tempo: 400\n    gap: wait\n`,
    );
    writeFileSync(set, `title: Short evening\ncharts:\n${songs.join('')}`);
    const stand = new Typed('play', set, '--plain', '--out', 'none', '--count-in', '0');
    await stand.asks(
      'where',
      /^song 1 of 2: Weir Hands, key B, 400 quarters a minute, 4\/4.*; play begins it$/,
    );
    stand.endInput();
    expect(await stand.ended).toBe(0);
    expect(stand.out).toMatch(
      /Weir Hands, key B.*[\s\S]*song 2 of 2: Ropewalk Penny[\s\S]*pass 1 bar 1: 1, A[\s\S]*the set is over/,
    );
  }, 60_000);

  it('waits for more after the end of the music where somebody has typed, and ends where nobody has', async () => {
    const words = [
      'play',
      demo('tollhouse-kettle'),
      '--plain',
      '--out',
      'none',
      '--count-in',
      '0',
      '--tempo',
      '400',
      '--loop',
      '1-2',
    ];
    const silent = new Typed(...words);
    expect(await silent.ended).toBe(0);
    const typed = new Typed(...words);
    await typed.asks('say nothing', /^no bars/);
    expect(await typed.says(/^the end$/m)).toBe(true);
    await typed.asks('play', /^plays from bar 1/);
    await typed.asks('quit', /^left$/);
    expect(await typed.ended).toBe(0);
  }, 30_000);

  it('says that an output cannot be opened, with the status of a machine at fault', async () => {
    const stand = new Typed(
      'play',
      demo('weir-hands'),
      '--plain',
      '--out',
      `raw:${join(folder.path, 'nowhere')}`,
    );
    stand.type('where\n');
    expect(await stand.ended).toBe(3);
    expect(stand.err).toContain('barkline ports lists what can be heard now');
  });
});
