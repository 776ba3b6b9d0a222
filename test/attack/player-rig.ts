import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { constants, mkdirSync, openSync, readFileSync, readSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  type Arrival,
  cleanEnv,
  demo,
  freshFolder,
  pause,
  playersMarked,
  program,
  until,
} from '../e2e/harness.js';
import { MidiStream } from '../midi-stream.js';

/** A plain play of the program with its player's process, and how it ends. */
export interface Playing {
  readonly child: ChildProcess;
  /** The player's process. */
  readonly player: number;
  readonly err: () => string;
  /** Resolves to the exit status when the program has ended, with how long that took from `since`, ms. */
  readonly ended: Promise<number | null>;
}

/** A folder of its own, in which the program is attacked; everything started from it ends with it. */
export class PlayerRig {
  private readonly folder = freshFolder();
  private readonly playing: { readonly child: ChildProcess; readonly mark: string }[] = [];
  private readonly busy: ChildProcess[] = [];

  get path(): string {
    return this.folder.path;
  }

  /** Writes the settings that hold for what is started from now on. */
  settings(text: string): void {
    mkdirSync(join(this.path, 'barkline'), { recursive: true });
    writeFileSync(join(this.path, 'barkline', 'settings.yaml'), text);
  }

  /** Plays a demo chart plainly; waits until the player's process runs and the output is open. */
  async play(...words: string[]): Promise<Playing> {
    const mark = `attack-${process.pid}-${this.playing.length}`;
    const child = spawn(process.execPath, [program, 'play', demo('tollhouse-kettle'), '--plain', ...words], {
      env: cleanEnv(this.path, { BARKLINE_TEST: mark }),
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    this.playing.push({ child, mark });
    let err = '';
    child.stderr?.on('data', (data: Buffer) => {
      err += data;
    });
    const ended = new Promise<number | null>((resolve) => child.on('close', (code) => resolve(code)));
    if (!(await until(() => err.includes('playing to:'), 15_000)))
      throw new Error(`it does not play: ${err}`);
    const [player = 0] = playersMarked(mark);
    return { child, player, err: () => err, ended };
  }

  /** Keeps so many processes busy. */
  keepBusy(count: number): void {
    for (let index = 0; index < count; index += 1)
      this.busy.push(spawn(process.execPath, ['-e', 'for (;;);'], { stdio: 'ignore' }));
  }

  idle(): void {
    for (const child of this.busy.splice(0)) child.kill('SIGKILL');
  }

  /** A named pipe that nobody reads yet. */
  pipe(name: string): string {
    const path = join(this.path, name);
    execFileSync('mkfifo', [path]);
    return path;
  }

  /** Ends whatever still runs; answers how many players there were. */
  close(): number {
    this.idle();
    let left = 0;
    for (const { child, mark } of this.playing) {
      for (const player of playersMarked(mark)) {
        left += 1;
        process.kill(player, 'SIGKILL');
      }
      child.kill('SIGKILL');
    }
    this.folder.remove();
    return left;
  }
}

/** Whether a process runs: one that has ended and whose new parent has not asked for its status yet does not. */
export function lives(pid: number): boolean {
  try {
    return !/^\d+ \(.*\) [ZX]/s.test(readFileSync(`/proc/${pid}/stat`, 'utf8'));
  } catch {
    return false;
  }
}

/** Waits until a process has gone; answers after how many ms, infinite when it has not. */
export async function goes(pid: number, ms: number): Promise<number> {
  const from = Date.now();
  while (Date.now() - from < ms) {
    if (!lives(pid)) return Date.now() - from;
    await pause(10);
  }
  return Number.POSITIVE_INFINITY;
}

/** Stops a process for a while, several times. */
export async function stall(pid: number, times: number, ms: number, apart: number): Promise<void> {
  for (let time = 0; time < times; time += 1) {
    process.kill(pid, 'SIGSTOP');
    await pause(ms);
    process.kill(pid, 'SIGCONT');
    await pause(apart);
  }
}

/** The reading end of a pipe, held open and not read until it is asked for. */
export class LazyReader {
  private readonly descriptor: number;
  private readonly stream = new MidiStream();

  constructor(path: string) {
    this.descriptor = openSync(path, constants.O_RDONLY | constants.O_NONBLOCK);
  }

  /** Everything that lies in the pipe now. */
  read(): Arrival[] {
    const bytes = Buffer.alloc(65_536);
    const all: Arrival[] = [];
    for (;;) {
      let count = 0;
      try {
        count = readSync(this.descriptor, bytes);
      } catch {
        return all;
      }
      if (count === 0) return all;
      for (const byte of bytes.subarray(0, count)) {
        const message = this.stream.take(byte);
        if (message) all.push({ time: 0, bytes: message });
      }
    }
  }
}
