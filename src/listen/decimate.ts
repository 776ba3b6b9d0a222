/** Nothing above it helps to hear strokes: cards that are faster are brought down, samples a second. */
const fastest = 50_000;
/** Taps of the filter for each sample that is left out, on each side. */
const reach = 12;

/** How many samples of a card become one, so that no more are used than needed: 1 up to 50 000 a second. */
export function decimationOf(rate: number): number {
  return 2 ** Math.max(0, Math.ceil(Math.log2(rate / fastest)));
}

/**
 * Keeps one of every `factor` samples, after everything above half the new rate was filtered out (a sinc under a Hann window; Smith, The
 * Scientist and Engineer's Guide to Digital Signal Processing, 1997). What it answers is in time with what it is given.
 */
export class Decimator {
  private readonly taps: Float32Array;
  /** What the filter still needs, then what has not been looked at; first so much silence that nothing is moved in time. */
  private held: Float32Array;

  /** `factor`: a power of two; 1 leaves everything as it is. */
  constructor(private readonly factor: number) {
    const half = reach * factor;
    const taps = Float32Array.from({ length: 2 * half + 1 }, (_, at) => {
      // Cut off a little below half the new rate: what the filter lets through around it would be heard as lower sounds.
      const x = (0.9 * (at - half)) / factor;
      const sinc = at === half ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
      return sinc * (0.5 + 0.5 * Math.cos((Math.PI * (at - half)) / (half + 1)));
    });
    const sum = taps.reduce((all, tap) => all + tap, 0);
    this.taps = taps.map((tap) => tap / sum);
    this.held = new Float32Array(half);
  }

  /** Takes the next samples and answers those that are known now. */
  push(samples: Float32Array): Float32Array {
    const { factor, taps } = this;
    if (factor === 1) return samples;
    const all = new Float32Array(this.held.length + samples.length);
    all.set(this.held);
    all.set(samples, this.held.length);
    const count = Math.max(0, Math.floor((all.length - taps.length) / factor) + 1);
    const out = new Float32Array(count);
    for (let index = 0; index < count; index += 1) {
      let sum = 0;
      for (let tap = 0; tap < taps.length; tap += 1)
        sum += (all[index * factor + tap] as number) * (taps[tap] as number);
      out[index] = sum;
    }
    this.held = all.slice(count * factor);
    return out;
  }
}
