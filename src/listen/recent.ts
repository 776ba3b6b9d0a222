/** The last samples of a recording that never ends, found by their count from its beginning. */
export class Recent {
  private buffer: Float32Array;
  /** The sample that `buffer` begins with, and how many it holds. */
  private begin = 0;
  private held = 0;

  /** `kept`: samples that are kept at least. */
  constructor(private readonly kept: number) {
    this.buffer = new Float32Array(2 * kept);
  }

  /** The sample after the last one. */
  get end(): number {
    return this.begin + this.held;
  }

  push(samples: Float32Array): void {
    if (this.held + samples.length > this.buffer.length) {
      const stay = Math.min(this.held, this.kept);
      const needed = Math.max(this.buffer.length, stay + samples.length);
      const next = needed > this.buffer.length ? new Float32Array(needed) : this.buffer;
      next.set(this.buffer.subarray(this.held - stay, this.held));
      this.begin += this.held - stay;
      this.held = stay;
      this.buffer = next;
    }
    this.buffer.set(samples, this.held);
    this.held += samples.length;
  }

  /** What is held from a sample on, as a view that is valid until the next push, and the sample that it begins with. */
  from(sample: number): { samples: Float32Array; begin: number } {
    const begin = Math.min(this.end, Math.max(this.begin, Math.round(sample)));
    return { samples: this.buffer.subarray(begin - this.begin, this.held), begin };
  }
}
