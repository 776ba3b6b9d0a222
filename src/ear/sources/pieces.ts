import { mono } from '../../listen/wav.js';
import type { SampleFormat } from '../../listen/wav-head.js';

/** Puts bytes that come in pieces of any length together to samples of one channel: a sample may be cut in two. */
export class PieceReader {
  private rest = Buffer.alloc(0);

  constructor(private readonly format: SampleFormat) {}

  /** The samples that are whole now, −1 to 1. */
  take(bytes: Buffer): Float32Array {
    const all = this.rest.length === 0 ? bytes : Buffer.concat([this.rest, bytes]);
    const whole = all.length - (all.length % (this.format.bits / 8));
    this.rest = Buffer.from(all.subarray(whole));
    return mono(all.subarray(0, whole), this.format, 1);
  }
}
