import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { MidiStream } from '../midi-stream.js';

/** The built program. */
export const program = fileURLToPath(new URL('../../dist/start.js', import.meta.url));
export const root = fileURLToPath(new URL('../..', import.meta.url));

/** A demo chart by its name. */
export function demo(name: string): string {
  return join(root, 'charts', `${name}.yaml`);
}

/** An empty folder that is gone after the test run; also used as the home of what the program remembers. */
export function freshFolder(): { path: string; remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), 'barkline-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

/**
 * An environment in which nothing is remembered from elsewhere; but it is no first run, so that the foot of the screen has its
 * keys and not what a newcomer is told.
 */
export function cleanEnv(folder: string, extra: Record<string, string> = {}): NodeJS.ProcessEnv {
  const state = join(folder, 'barkline');
  mkdirSync(state, { recursive: true });
  writeFileSync(join(state, 'hints.json'), '[]');
  return firstRunEnv(folder, extra);
}

/** An environment in which the program never ran. */
export function firstRunEnv(folder: string, extra: Record<string, string> = {}): NodeJS.ProcessEnv {
  return {
    ...process.env,
    XDG_STATE_HOME: folder,
    XDG_DATA_HOME: folder,
    XDG_CONFIG_HOME: folder,
    LANG: 'C.UTF-8',
    LC_ALL: 'C.UTF-8',
    ...extra,
  };
}

/** Waits, in real time, until something holds; answers whether it came to hold. */
export async function until(holds: () => boolean, ms = 8000): Promise<boolean> {
  const end = Date.now() + ms;
  while (Date.now() < end) {
    if (holds()) return true;
    await pause(25);
  }
  return holds();
}

/** Waits until nothing more arrives for a while: what was sent has then come through, however busy the machine is. */
export async function settled(heard: () => readonly Arrival[], quietMs = 250): Promise<void> {
  for (let count = -1, quiet = 0; quiet < quietMs; quiet += 50) {
    await pause(50);
    if (heard().length !== count) quiet = 0;
    count = heard().length;
  }
}

export function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

/** One message as it arrived: on the clock that all processes share, in ms. */
export interface Arrival {
  readonly time: number;
  readonly bytes: readonly number[];
}

/**
 * A reader of a named pipe in a process of its own, which stamps what arrives together. Messages are put together
 * here, running status filled in.
 */
export class PipeReader {
  readonly path: string;
  private text = '';
  private readonly reader: ChildProcess;

  constructor(folder: string) {
    this.path = join(folder, `pipe-${Math.random().toString(36).slice(2)}`);
    execFileSync('mkfifo', [this.path]);
    const code = `
      const fs = require('node:fs');
      // Opened for writing too, so that the pipe never ends while writers come and go.
      const descriptor = fs.openSync(${JSON.stringify(this.path)}, 'r+');
      const buffer = Buffer.alloc(65536);
      process.send?.('ready');
      for (;;) {
        const read = fs.readSync(descriptor, buffer, 0, buffer.length, null);
        const [s, n] = process.hrtime();
        fs.writeSync(1, (s * 1000 + n / 1e6).toFixed(3) + ' ' + [...buffer.subarray(0, read)].join(' ') + '\\n');
      }`;
    this.reader = spawn(process.execPath, ['-e', code], { stdio: ['ignore', 'pipe', 'inherit'] });
    this.reader.stdout?.on('data', (data: Buffer) => {
      this.text += data.toString();
    });
  }

  /** Everything that has arrived. */
  arrivals(): Arrival[] {
    const stream = new MidiStream();
    return this.text
      .split('\n')
      .filter((line) => line !== '')
      .flatMap((line) => {
        const [time = 0, ...bytes] = line.split(' ').map(Number);
        return bytes.flatMap((byte) => {
          const message = stream.take(byte);
          return message ? [{ time, bytes: message }] : [];
        });
      });
  }

  close(): void {
    this.reader.kill('SIGKILL');
  }
}

const statusOf = (arrival: Arrival): number => (arrival.bytes[0] ?? 0) & 0xf0;
const keyOf = (arrival: Arrival): string => `${(arrival.bytes[0] ?? 0) & 0x0f} ${arrival.bytes[1]}`;

export function noteOns(arrivals: readonly Arrival[]): Arrival[] {
  return arrivals.filter((one) => statusOf(one) === 0x90);
}

export function noteOffs(arrivals: readonly Arrival[]): Arrival[] {
  return arrivals.filter((one) => statusOf(one) === 0x80);
}

/** The notes that still sound after everything that arrived. All-notes-off silences its channel. */
export function hanging(arrivals: readonly Arrival[]): string[] {
  const sounding = new Set<string>();
  for (const one of arrivals) {
    if (statusOf(one) === 0x90) sounding.add(keyOf(one));
    else if (statusOf(one) === 0x80) sounding.delete(keyOf(one));
    else if (statusOf(one) === 0xb0 && one.bytes[1] === 123) {
      for (const key of [...sounding])
        if (key.startsWith(`${(one.bytes[0] ?? 0) & 0x0f} `)) sounding.delete(key);
    }
  }
  return [...sounding];
}

/** The ids of the player processes whose parent is, or was started by, a process: by their environment mark. */
export function playersMarked(mark: string): number[] {
  const listed = execFileSync('ps', ['-eo', 'pid,args'], { encoding: 'utf8' }).split('\n');
  return listed
    .filter((line) => line.includes('player/process.js'))
    .map((line) => Number(line.trim().split(' ')[0]))
    .filter((pid) => environmentOf(pid).includes(`BARKLINE_TEST=${mark}`));
}

function environmentOf(pid: number): string {
  try {
    return execFileSync('cat', [`/proc/${pid}/environ`], { encoding: 'utf8' });
  } catch {
    return '';
  }
}
