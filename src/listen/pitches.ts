import type { PowerSpectra } from './power-spectra.js';

/** The highest frequency at which harmonics are looked for, Hz. */
const top = 4500;
/** Pitches that are tried: from B2 up four octaves in eighths of a tone. */
const tried = Array.from({ length: 153 }, (_, step) => 123.5 * 2 ** (step / 48));

/** The strongest pitches of a sound. */
export interface Pitches {
  /** The strongest and the second, Hz. */
  readonly first: number;
  readonly other: number;
  /** How strong the second and the third are beside the first. */
  readonly second: number;
  readonly third: number;
  /** What is left of the sound, evened out, without the first, 0–1. */
  readonly left: number;
}

/** The three strongest pitches, one after the other, each taken off before the next (Klapuri, Multiple fundamental frequency estimation by summing harmonic amplitudes, ISMIR 2006). */
export function strongestPitches(spectra: PowerSpectra, power: Float64Array): Pitches {
  const most = spectra.most(power, 100, top);
  const limit = spectra.bin(top);
  const level = Float64Array.from(
    { length: limit },
    (_, bin) => Math.max(0, (power[bin] as number) / most - 1e-4) ** 0.25,
  );
  const all = square(level) + 1e-12;
  const near = (hertz: number, width: number): number => {
    let greatest = 0;
    const to = Math.min(limit - 1, Math.floor((hertz + width) / spectra.hertz));
    for (let bin = Math.ceil((hertz - width) / spectra.hertz); bin <= to; bin += 1)
      greatest = Math.max(greatest, level[bin] as number);
    return greatest;
  };
  const strengths: number[] = [];
  const found: number[] = [];
  let left = 1;
  for (let round = 0; round < 3; round += 1) {
    let [best, pitch] = [-1, tried[0] as number];
    for (const hertz of tried) {
      let sum = 0;
      for (let harmonic = 1; harmonic <= 8 && harmonic * hertz < top; harmonic += 1) {
        const between = harmonic * hertz > 250 ? near((harmonic - 0.5) * hertz, 6.5) : 0;
        sum += 0.85 ** (harmonic - 1) * (near(harmonic * hertz, 13) - 0.35 * between);
      }
      sum *= 0.4 + near(hertz, 16);
      if (sum > best) [best, pitch] = [sum, hertz];
    }
    strengths.push(best);
    found.push(pitch);
    for (let harmonic = pitch; harmonic < top; harmonic += pitch) {
      const width = Math.max(32, 0.012 * harmonic);
      const to = Math.min(limit - 1, Math.floor((harmonic + width) / spectra.hertz));
      for (let bin = Math.ceil((harmonic - width) / spectra.hertz); bin <= to; bin += 1)
        level[bin] = 0.15 * (level[bin] as number);
    }
    if (round === 0) left = square(level) / all;
  }
  const [one, two, three] = strengths as [number, number, number];
  const beside = (value: number): number => Math.max(0, value) / Math.max(1e-9, one);
  return {
    first: found[0] as number,
    other: found[1] as number,
    second: beside(two),
    third: beside(three),
    left,
  };
}

function square(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return sum;
}
