import { type Bands, inBands, logBands } from './bands.js';
import { Spectrum } from './spectrum.js';

/** This much sound is looked at from the attack on, seconds: what is there when an onset is reported. */
const looked = 0.024;
/** Bands, three an octave, between these, Hz: below is hum and handling. */
const [lowest, highest, perOctave] = [160, 9000, 3];
/** What lies so far below the loudest band is as good as silent, dB. */
const depth = 30;
const silent = 1e-7;

/** How an attack sounds: the level of each band, dB below full scale. */
export type Timbre = readonly number[];

/** Reads how attacks sound, at a rate. */
export class TimbreReader {
  private readonly spectrum: Spectrum;
  private readonly bands: Bands;

  /** `rate`: samples a second. */
  constructor(private readonly rate: number) {
    const size = 2 ** Math.ceil(Math.log2(2 * looked * rate));
    this.spectrum = new Spectrum(size);
    this.bands = logBands(rate, size, lowest, highest, perOctave);
  }

  /** How it sounds from a sample on. */
  read(samples: Float32Array, attack: number): Timbre {
    const length = Math.min(Math.round(looked * this.rate), Math.max(16, samples.length - attack));
    const magnitudes = this.spectrum.at(samples, Math.round(attack), length);
    const levels = inBands(this.bands, magnitudes, new Float64Array(this.bands.count));
    // To a tenth of a dB: it goes from process to process.
    return Array.from(levels, (level) => Math.round(200 * Math.log10(level + silent)) / 10);
  }
}

/** How loud an attack is: the power of all bands together, dB. */
export function loudness(timbre: Timbre): number {
  return 10 * Math.log10(timbre.reduce((sum, level) => sum + 10 ** (level / 10), 0) + silent * silent);
}

/**
 * How far two attacks are from sounding alike, however loud each is: the spread of the differences of their bands, dB. 3 is the
 * same chord struck again, 10 another note.
 */
export function unlikeness(one: Timbre, other: Timbre): number {
  const [first, second] = [deepened(one), deepened(other)];
  const differences = first.map((level, band) => level - (second[band] ?? 0));
  const mean = differences.reduce((sum, value) => sum + value, 0) / differences.length;
  return Math.sqrt(differences.reduce((sum, value) => sum + (value - mean) ** 2, 0) / differences.length);
}

/** Levels against the loudest band, none below what is as good as silent. */
function deepened(timbre: Timbre): number[] {
  const most = Math.max(...timbre);
  return timbre.map((level) => Math.max(-depth, level - most));
}
