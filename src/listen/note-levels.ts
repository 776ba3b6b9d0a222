import type { NoteTemplate } from './note-templates.js';

/** Rounds of the fit: after some twenty the levels hardly move (measured: forty tell chords no better). */
const rounds = 20;

/**
 * Finds how much of each of some notes, and of a noise that is the same at all frequencies, is in a spectrum: levels from 0
 * that explain it best by the Kullback-Leibler divergence, by multiplicative updates (Lee and Seung, Algorithms for
 * non-negative matrix factorization, 2001).
 */
export class NoteFit {
  /** The templates one behind the other, and where each begins. */
  private readonly places: Int32Array;
  private readonly weights: Float64Array;
  private readonly begins: Int32Array;
  private readonly model: Float64Array;

  /** For spectra of so many frequencies. */
  constructor(templates: readonly NoteTemplate[], count: number) {
    this.places = Int32Array.from(templates.flatMap(({ places }) => [...places]));
    this.weights = Float64Array.from(templates.flatMap(({ weights }) => [...weights]));
    this.begins = new Int32Array(templates.length + 1);
    templates.forEach(({ places }, index) => {
      this.begins[index + 1] = (this.begins[index] as number) + places.length;
    });
    this.model = new Float64Array(count);
  }

  /** The level of each note and, last, of the noise: together the sum of the spectrum. */
  levels(spectrum: Float64Array): Float64Array {
    const notes = this.begins.length - 1;
    let sum = 0;
    for (const value of spectrum) sum += value;
    const levels = new Float64Array(notes + 1).fill(sum / (notes + 1));
    for (let round = 0; round < rounds; round += 1) this.update(levels, spectrum);
    return levels;
  }

  private update(levels: Float64Array, spectrum: Float64Array): void {
    const { places, weights, begins, model } = this;
    const { length } = model;
    const last = levels.length - 1;
    model.fill((levels[last] as number) / length + 1e-12);
    for (let note = 0; note < last; note += 1) {
      const level = levels[note] as number;
      const end = begins[note + 1] as number;
      for (let at = begins[note] as number; at < end; at += 1)
        (model[places[at] as number] as number) += level * (weights[at] as number);
    }
    // From here on the model holds by how much it falls short of the spectrum at each frequency.
    let noise = 0;
    for (let place = 0; place < length; place += 1) {
      const ratio = (spectrum[place] as number) / (model[place] as number);
      model[place] = ratio;
      noise += ratio;
    }
    for (let note = 0; note < last; note += 1) {
      const end = begins[note + 1] as number;
      let share = 0;
      for (let at = begins[note] as number; at < end; at += 1)
        share += (weights[at] as number) * (model[places[at] as number] as number);
      levels[note] = (levels[note] as number) * share;
    }
    levels[last] = ((levels[last] as number) * noise) / length;
  }
}
