import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { chmodSync, createWriteStream, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { bytesOf, openWav } from '../../src/listen/wav.js';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';
import { chop, plucked } from '../ear/plucks.js';
import { cleanEnv, freshFolder, program, until } from './harness.js';

const runner = fileURLToPath(new URL('./ear-run.mjs', import.meta.url));
const folder = freshFolder();
const running: ChildProcess[] = [];
afterEach(() => {
  for (const child of running.splice(0)) child.kill('SIGKILL');
});
afterAll(() => folder.remove());

interface Told {
  readonly kind: string;
  readonly ms: number;
  readonly rate: number;
  readonly sentence: string;
}

/** Listens somewhere in processes of their own; answers what is told. */
function listen(
  where: string,
  options: { path?: string; keep?: string } = {},
): { child: ChildProcess; told: () => Told[]; ear: () => number } {
  const words = [runner, where, '60', ...(options.keep ? [options.keep] : [])];
  const child = spawn(process.execPath, words, {
    env: cleanEnv(folder.path, options.path ? { PATH: options.path } : {}),
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  running.push(child);
  let text = '';
  child.stdout?.on('data', (data: Buffer) => {
    text += data;
  });
  return {
    child,
    told: () =>
      text
        .split('\n')
        .slice(0, -1)
        .map((line) => JSON.parse(line) as Told),
    // The last is the one that runs: those before it have died.
    ear: () =>
      Number(
        execFileSync('pgrep', ['-P', String(child.pid)], { encoding: 'utf8' })
          .trim()
          .split('\n')
          .at(-1),
      ),
  };
}

/** A recorder that does what a test says, in the place of the system's. */
function fakeRecorder(name: string, script: string): string {
  const bin = join(folder.path, name);
  mkdirSync(bin);
  const path = join(bin, 'arecord');
  writeFileSync(
    path,
    `#!${process.execPath}\nconst list = process.argv.includes('-L');\nif (list) console.log('default\\nhw:Pod\\nplughw:CARD=Pod,DEV=0\\n    Field Pod');\nelse {\n${script}\n}\n`,
  );
  chmodSync(path, 0o755);
  return `${bin}:${dirname(process.execPath)}:/usr/bin:/bin`;
}

const lives = (pid: number): boolean =>
  existsSync(`/proc/${pid}/stat`) && !/\) Z/.test(readFileSync(`/proc/${pid}/stat`, 'utf8'));
const rate = 48_000;
const times = [600, 1100, 1550, 2100, 2600];
const sound = plucked(times, 3.4, rate, chop);
const file = join(folder.path, 'played.wav');
const bytes = wavSamples(sound);
writeFileSync(file, Buffer.concat([wavHeader(rate, bytes.length), bytes]));

/** The greatest distance of strokes from the truth, ms, when what is constant is taken away. */
function spread(told: readonly Told[]): number {
  const off = told.filter(({ kind }) => kind === 'stroke').map(({ ms }, at) => ms - (times[at] as number));
  const middle = [...off].sort((one, other) => one - other)[off.length >> 1] as number;
  return off.length === times.length
    ? Math.max(...off.map((one) => Math.abs(one - middle)))
    : Number.POSITIVE_INFINITY;
}

describe('the ear', () => {
  it('hears the strokes of a file as it would sound, each at its time, and keeps what it heard', async () => {
    const keep = join(folder.path, 'kept.wav');
    const { told, child } = listen(`file:${file}`, { keep });
    expect(await until(() => child.exitCode !== null, 20_000)).toBe(true);
    expect(told()[0]).toMatchObject({ kind: 'opened', rate, by: 'file' });
    expect(told().at(-1)).toMatchObject({ kind: 'ended' });
    expect(spread(told())).toBeLessThan(3);
    expect(readFileSync(keep).equals(readFileSync(file))).toBe(true);
  });

  it('says in a sentence why it cannot hear', async () => {
    const path = fakeRecorder(
      'busy',
      "console.error('arecord: main:831: audio open error: Device or resource busy'); process.exit(1);",
    );
    const { told } = listen('field pod', { path });
    expect(await until(() => told().length > 0)).toBe(true);
    expect(told()).toMatchObject([
      {
        kind: 'failed',
        sentence: expect.stringMatching(/“plughw:CARD=Pod,DEV=0” is in use by another program/),
      },
    ]);
  });

  it('hears through the system’s recorder, tells what was lost, and takes a microphone up again that was gone', async () => {
    // Delivers sound as a card does; after a second and a half 200 ms of it are lost; after three the card is pulled out.
    const path = fakeRecorder(
      'lossy',
      `let sent = 0; const begin = Date.now(); let lost = 0;
       setInterval(() => {
         const due = Math.floor((Date.now() - begin) * 48);
         if (!lost && due > 72000) { console.error('overrun!!! (at least 200.000 ms long)'); lost = 9600; }
         const count = due - lost - sent;
         if (count > 0) { process.stdout.write(Buffer.from(new Float32Array(count).fill(0.01).buffer)); sent += count; }
         if (due > 144000) { console.error('arecord: pcm_read:2145: read error: No such device'); process.exit(1); }
       }, 10);`,
    );
    const { told } = listen('default', { path });
    const kinds = (): string[] =>
      told()
        .map(({ kind }) => kind)
        .filter((kind) => kind !== 'condition');
    expect(await until(() => kinds().filter((kind) => kind === 'opened').length === 2, 20_000)).toBe(true);
    expect(kinds().slice(0, 4)).toStrictEqual(['opened', 'gap', 'gone', 'opened']);
    expect(told().find(({ kind }) => kind === 'gone')?.sentence).toBe(
      'the microphone “default” has been disconnected; connect it again (the music goes on)',
    );
  });

  it('takes a card as it is that can do nothing but whole numbers at a sample rate of its own', async () => {
    const path = fakeRecorder(
      'whole',
      `const format = process.argv[process.argv.indexOf('-f') + 1];
       if (format !== 'S16_LE') { console.error('arecord: set_params:1352: Sample format non available'); process.exit(1); }
       console.error('Warning: rate is not accurate (requested = 48000Hz, got = 44100Hz)');
       setTimeout(() => setInterval(() => process.stdout.write(Buffer.alloc(882)), 10), 50);`,
    );
    const { told } = listen('hw:Pod', { path });
    expect(await until(() => told().length > 0)).toBe(true);
    expect(told()[0]).toMatchObject({ kind: 'opened', name: 'hw:Pod', rate: 44_100, by: 'arecord' });
  });

  it('hears a pipe, whatever the pieces are in which it is written', async () => {
    const pipe = join(folder.path, 'pipe');
    execFileSync('mkfifo', [pipe]);
    const { told } = listen(`raw:${rate}:${pipe}`);
    expect(await until(() => told().some(({ kind }) => kind === 'opened'))).toBe(true);
    const all = Buffer.from(sound.slice(0, 1.4 * rate).buffer);
    const writer = createWriteStream(pipe);
    // No piece ends where a sample does.
    for (let at = 0; at < all.length; at += 4803) writer.write(all.subarray(at, at + 4803));
    expect(await until(() => told().filter(({ kind }) => kind === 'onset').length === 2)).toBe(true);
    writer.destroy();
  });

  it('ends when its owner is killed', async () => {
    const { child, told, ear } = listen(`file:${file}`);
    expect(await until(() => told().length > 0)).toBe(true);
    const pid = ear();
    expect(lives(pid)).toBe(true);
    child.kill('SIGKILL');
    expect(await until(() => !lives(pid), 3000)).toBe(true);
  });

  it('is started again when it dies or no longer answers, and says so each time', async () => {
    const keep = join(folder.path, 'again.wav');
    const long = join(folder.path, 'long.wav');
    const silence = new Uint8Array(2 * 60 * rate);
    writeFileSync(long, Buffer.concat([wavHeader(rate, silence.length), silence]));
    const { told, ear } = listen(`file:${long}`, { keep });
    const opened = (): number => told().filter(({ kind }) => kind === 'opened').length;
    expect(await until(() => opened() === 1)).toBe(true);
    process.kill(ear(), 'SIGKILL');
    expect(await until(() => opened() === 2)).toBe(true);
    process.kill(ear(), 'SIGSTOP');
    expect(await until(() => opened() === 3, 20_000)).toBe(true);
    const died = told()
      .filter(({ kind }) => kind === 'died')
      .map(({ sentence }) => sentence);
    expect(died).toStrictEqual([
      'the process that listens to the microphone has stopped (SIGKILL); it is being started again, and the music goes on',
      'the process that listens to the microphone has stopped (it stopped answering); it is being started again, and the music goes on',
    ]);
    // What the first one kept can be read, and none wrote over another's.
    const first = openWav(bytesOf(readFileSync(keep)));
    expect(first.ok && first.value.head.frames).toBeGreaterThan(0);
    expect(existsSync(join(folder.path, 'again-3.wav'))).toBe(true);
  });
});

describe('barkline ports', () => {
  it('lists microphones by what they are named and known by', () => {
    const path = fakeRecorder('two', '');
    const ports = (...words: string[]): string =>
      execFileSync(process.execPath, [program, 'ports', ...words], {
        env: cleanEnv(folder.path, { PATH: path }),
        encoding: 'utf8',
      });
    expect(ports()).toContain(
      'Microphones, for --microphone:\n  1  default  (usual)\n  2  plughw:CARD=Pod,DEV=0  Field Pod\n',
    );
    expect(JSON.parse(ports('--json'))).toMatchObject({
      microphones: [
        { name: 'default' },
        { name: 'plughw:CARD=Pod,DEV=0', label: 'Field Pod', isDefault: false },
      ],
      microphone: null,
    });
  });
});
