/** Plucked strings by their physics alone: partials that decay, the higher the sooner, struck at given times (ms). */
export function plucked(
  times: readonly number[],
  seconds: number,
  rate: number,
  hertz: readonly number[],
): Float32Array {
  const samples = new Float32Array(Math.round(seconds * rate));
  times.forEach((ms) => {
    const begin = Math.round((ms / 1000) * rate);
    for (const base of hertz)
      for (let partial = 1; partial <= 8 && partial * base < rate / 2; partial += 1)
        for (let at = 0; at < 0.25 * rate && begin + at < samples.length; at += 1) {
          const second = at / rate;
          const swell = Math.min(1, second / 0.001) * Math.exp(-second * (18 + 6 * partial));
          samples[begin + at] =
            (samples[begin + at] as number) +
            (0.12 / partial) * swell * Math.sin(2 * Math.PI * partial * base * second);
        }
  });
  return samples;
}

/** The open courses of a chop, Hz: G3 with B3, G4 and B4. */
export const chop: readonly number[] = [196, 247, 392, 494];
