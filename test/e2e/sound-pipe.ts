import { execFileSync } from 'node:child_process';
import { closeSync, constants, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';

const blockMs = 10;

/** A named pipe that is a microphone: what it hears is silence with a little noise, and what is played into it. Times are ms of the clock that all processes share. */
export class SoundPipe {
  readonly path: string;
  private readonly descriptor: number;
  private readonly timer: NodeJS.Timeout;
  private readonly begin = now();
  private written = 0;
  private sounds: { readonly from: number; readonly samples: Float32Array }[] = [];
  private seed = 1;

  /** `rate`: samples a second. */
  constructor(
    folder: string,
    private readonly rate: number,
  ) {
    this.path = join(folder, `sound-${Math.random().toString(36).slice(2)}`);
    execFileSync('mkfifo', [this.path]);
    // Opened for reading too, so that nothing waits for a reader.
    this.descriptor = openSync(this.path, constants.O_RDWR | constants.O_NONBLOCK);
    this.timer = setInterval(() => this.write(), blockMs);
  }

  /** What the command line names it. */
  get spec(): string {
    return `raw:${this.rate}:${this.path}`;
  }

  /** Sounds some time from now; answers when its first sample does, ms. */
  play(samples: Float32Array, inMs = 300): number {
    const from = Math.round(((now() + inMs - this.begin) / 1000) * this.rate);
    this.sounds.push({ from, samples });
    return this.begin + (1000 * from) / this.rate;
  }

  close(): void {
    clearInterval(this.timer);
    closeSync(this.descriptor);
  }

  private write(): void {
    const due = Math.floor(((now() - this.begin) / 1000) * this.rate);
    const block = Float32Array.from({ length: due - this.written }, () => 2e-3 * (this.random() - 0.5));
    for (const { from, samples } of this.sounds)
      for (let at = Math.max(this.written, from); at < Math.min(due, from + samples.length); at += 1)
        block[at - this.written] = (block[at - this.written] as number) + (samples[at - from] as number);
    let taken = block.length;
    try {
      taken = writeSync(this.descriptor, Buffer.from(block.buffer)) / 4;
    } catch {
      // Nobody reads: what is not heard is not kept for later.
    }
    // A pipe takes no more than it holds; what it did not take comes with the next block.
    this.written += Math.floor(taken);
    this.sounds = this.sounds.filter(({ from, samples }) => from + samples.length > this.written);
  }

  private random(): number {
    this.seed = (this.seed * 1_103_515_245 + 12_345) % 2_147_483_648;
    return this.seed / 2_147_483_648;
  }
}

/** The clock that all processes share, ms. */
export function now(): number {
  return Number(process.hrtime.bigint()) / 1e6;
}
