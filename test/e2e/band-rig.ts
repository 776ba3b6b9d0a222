import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Arrival, cleanEnv, noteOns, type PipeReader, program } from './harness.js';

/** A stand of a band that plays plainly, and what it writes. */
export class PlainStand {
  out = '';
  err = '';
  /** The exit status; a signal's name where one ended it. */
  status: number | string | null = null;
  readonly ended: Promise<void>;
  private readonly child: ChildProcess;

  constructor(folder: string, words: readonly string[], env: Record<string, string> = {}, input = '') {
    const child = spawn(process.execPath, [program, ...words], {
      env: cleanEnv(folder, env),
      stdio: ['pipe', 'pipe', 'pipe'],
    });
    this.child = child;
    child.stdin.end(input);
    child.stdout.on('data', (data: Buffer) => {
      this.out += data;
    });
    child.stderr.on('data', (data: Buffer) => {
      this.err += data;
    });
    this.ended = new Promise((resolve) => {
      child.on('close', (code, signal) => {
        this.status = code ?? signal;
        resolve();
      });
    });
  }

  kill(signal: NodeJS.Signals): void {
    this.child.kill(signal);
  }

  /** The bars that were printed, each once: `pass 1 bar 3`. */
  bars(): string[] {
    return [...this.out.matchAll(/^pass \d+ bar \d+/gm)].map(([text]) => text);
  }

  /** The id of one of its own processes, by the file that it runs. */
  process(file: string): number | null {
    const lines = execFileSync('ps', ['-eo', 'pid,ppid,args'], { encoding: 'utf8' }).split('\n');
    const own = lines.find((line) => {
      const [, parent] = line.trim().split(/\s+/);
      return Number(parent) === this.child.pid && line.includes(file);
    });
    return own ? Number(own.trim().split(/\s+/)[0]) : null;
  }
}

/** Writes a chart of eight bars of four beats, 240 a minute: eight seconds a pass. */
export function shortChart(folder: string, name: string, title: string): string {
  const file = join(folder, `${name}.yaml`);
  writeFileSync(
    file,
    `title: ${title}\nkey: A\ntempo: 240\nmeter: 4/4\nform: V\nsections:\n  V: |\n    > Down where the reeds lean over\n    1 4 1 5\n    > All the way to the weir\n    4 1 5 1\n`,
  );
  return file;
}

/** When the clicks came that a pipe has heard, ms. */
export function clicks(reader: PipeReader): number[] {
  const isClick = ({ bytes }: Arrival): boolean => ((bytes[0] ?? 0) & 0x0f) === 9;
  return noteOns(reader.arrivals())
    .filter((one) => isClick(one) && (one.bytes[2] ?? 0) > 0)
    .map(({ time }) => time);
}

/** How far each of some times is from the nearest of others, ms, the least first. */
export function distances(times: readonly number[], others: readonly number[]): number[] {
  return times
    .map((time) => Math.min(...others.map((other) => Math.abs(other - time))))
    .sort((one, other) => one - other);
}
