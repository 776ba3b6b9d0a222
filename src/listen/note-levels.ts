import type { NoteTemplate } from './note-templates.js';

/** Rounds of the fit: after some twenty the levels hardly move (measured: forty tell chords no better). */
const rounds = 20;

/**
 * How much of each template, and of a noise that is the same at all frequencies, is in a spectrum: levels from 0 that
 * explain it best by the Kullback-Leibler divergence, found by multiplicative updates (Lee and Seung, Algorithms for
 * non-negative matrix factorization, 2001). The noise's level comes last; all levels together are the spectrum's sum.
 */
export function noteLevels(spectrum: Float64Array, templates: readonly NoteTemplate[]): Float64Array {
  const { length } = spectrum;
  const count = templates.length;
  let sum = 0;
  for (const value of spectrum) sum += value;
  const levels = new Float64Array(count + 1).fill(sum / (count + 1));
  const model = new Float64Array(length);
  for (let round = 0; round < rounds; round += 1) {
    model.fill((levels[count] as number) / length + 1e-12);
    templates.forEach(({ places, weights }, index) => {
      const level = levels[index] as number;
      for (let at = 0; at < places.length; at += 1) {
        const place = places[at] as number;
        model[place] = (model[place] as number) + level * (weights[at] as number);
      }
    });
    let noise = 0;
    for (let place = 0; place < length; place += 1) {
      model[place] = (spectrum[place] as number) / (model[place] as number);
      noise += model[place] as number;
    }
    templates.forEach(({ places, weights }, index) => {
      let share = 0;
      for (let at = 0; at < places.length; at += 1)
        share += (weights[at] as number) * (model[places[at] as number] as number);
      levels[index] = (levels[index] as number) * share;
    });
    levels[count] = ((levels[count] as number) * noise) / length;
  }
  return levels;
}
