import type { NoteTemplate, SpectrumLayout } from './note-templates.js';

/** Rounds of the fit: after some twenty the levels hardly move (measured: forty tell chords no better). */
const rounds = 20;
/** By this power of the frequency the compressed magnitudes of falling noise fall: 6 dB an octave before they are compressed. */
const fallsBy = 0.7;

/**
 * Finds how much of each of some notes, and of noise, is in a spectrum: levels from 0 that explain it best by the Kullback-Leibler divergence, by multiplicative updates (Lee and Seung, Algorithms for
 * non-negative matrix factorization, 2001).
 */
export class NoteFit {
  /** The templates one after the other, and where each begins. */
  private readonly places: Int32Array;
  private readonly weights: Float64Array;
  private readonly begins: Int32Array;
  private readonly model: Float64Array;
  /** Noise is the same at all frequencies, a room's, or falls with them, a pick's on damped strings: what both have of each, together 1. */
  private readonly falling: Float64Array;

  /** For spectra with the layout of these templates. */
  constructor(templates: readonly NoteTemplate[], { lowest, step, count }: SpectrumLayout) {
    const fall = Float64Array.from(
      { length: count },
      (_, index) => ((lowest + index * step) / lowest) ** -fallsBy,
    );
    const sum = fall.reduce((all, one) => all + one, 0);
    this.falling = fall.map((one) => one / sum);
    this.places = Int32Array.from(templates.flatMap(({ places }) => [...places]));
    this.weights = Float64Array.from(templates.flatMap(({ weights }) => [...weights]));
    this.begins = new Int32Array(templates.length + 1);
    templates.forEach(({ places }, index) => {
      this.begins[index + 1] = (this.begins[index] as number) + places.length;
    });
    this.model = new Float64Array(count);
  }

  /** The level of each note and, last, of both noises: together the sum of the spectrum. */
  levels(spectrum: Float64Array): Float64Array {
    const notes = this.begins.length - 1;
    let sum = 0;
    for (const value of spectrum) sum += value;
    const levels = new Float64Array(notes + 2).fill(sum / (notes + 2));
    for (let round = 0; round < rounds; round += 1) this.update(levels, spectrum);
    return levels;
  }

  private update(levels: Float64Array, spectrum: Float64Array): void {
    const { places, weights, begins, model, falling } = this;
    const { length } = model;
    const notes = begins.length - 1;
    const even = (levels[notes] as number) / length + 1e-12;
    const fall = levels[notes + 1] as number;
    for (let place = 0; place < length; place += 1) model[place] = even + fall * (falling[place] as number);
    for (let note = 0; note < notes; note += 1) {
      const level = levels[note] as number;
      const end = begins[note + 1] as number;
      for (let at = begins[note] as number; at < end; at += 1)
        (model[places[at] as number] as number) += level * (weights[at] as number);
    }
    // From here on the model holds by how much it falls short of the spectrum at each frequency.
    let evenShare = 0;
    let fallShare = 0;
    for (let place = 0; place < length; place += 1) {
      const ratio = (spectrum[place] as number) / (model[place] as number);
      model[place] = ratio;
      evenShare += ratio;
      fallShare += ratio * (falling[place] as number);
    }
    for (let note = 0; note < notes; note += 1) {
      const end = begins[note + 1] as number;
      let share = 0;
      for (let at = begins[note] as number; at < end; at += 1)
        share += (weights[at] as number) * (model[places[at] as number] as number);
      levels[note] = (levels[note] as number) * share;
    }
    levels[notes] = ((levels[notes] as number) * evenShare) / length;
    levels[notes + 1] = fall * fallShare;
  }
}
