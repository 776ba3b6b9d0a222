/** A resonance of a body: where it lies, how sharp it is, and how much of it is added. */
export interface Resonance {
  readonly hertz: number;
  /** Frequency by bandwidth. At 300 Hz and 5 it has fallen by 60 dB in 37 ms. */
  readonly sharpness: number;
  readonly level: number;
}

/**
 * Adds two resonances of a body to samples, in place: band-pass filters of two poles side by side, which let no constant part
 * through. Both in one go, for it is done while the music plays.
 */
export function addBody(samples: Float32Array, rate: number, low: Resonance, high: Resonance): void {
  const [gain, one, two] = bandPass(rate, low);
  const [highGain, highOne, highTwo] = bandPass(rate, high);
  let [in1, in2, low1, low2, high1, high2] = [0, 0, 0, 0, 0, 0];
  for (let index = 0; index < samples.length; index += 1) {
    const value = samples[index] as number;
    const change = value - in2;
    const lowOut = gain * change + one * low1 - two * low2;
    const highOut = highGain * change + highOne * high1 - highTwo * high2;
    in2 = in1;
    in1 = value;
    low2 = low1;
    low1 = lowOut;
    high2 = high1;
    high1 = highOut;
    samples[index] = value + lowOut + highOut;
  }
}

/** What a band-pass filter multiplies by: what comes in, its last output, the one before. */
function bandPass(rate: number, { hertz, sharpness, level }: Resonance): [number, number, number] {
  const turn = (2 * Math.PI * hertz) / rate;
  const width = Math.sin(turn) / (2 * sharpness);
  return [(level * width) / (1 + width), (2 * Math.cos(turn)) / (1 + width), (1 - width) / (1 + width)];
}
