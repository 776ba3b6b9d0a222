import type { Wav } from './wav.js';

/** A stroke's sound is looked at from this long before its attack to this long after it, seconds. */
const around = 0.11;

/** The sound round a stroke of a recording, read as it is asked for. */
export class StrokeSound {
  constructor(private readonly wav: Wav) {}

  of(sample: number): { samples: Float32Array; attack: number } {
    const half = Math.round(around * this.wav.head.rate);
    const from = Math.max(0, Math.round(sample) - half);
    return { samples: this.wav.samples(from, 2 * half), attack: Math.round(sample) - from };
  }
}
