import { describe, expect, it } from 'vitest';
import { NoteFit } from '../../src/listen/note-levels.js';
import { noteTemplate } from '../../src/listen/note-templates.js';
import { StrokeSpectrum } from '../../src/listen/stroke-spectrum.js';

const layout = new StrokeSpectrum(44_100);
const templates = Array.from({ length: 30 }, (_, index) => noteTemplate(55 + index, layout));
const fit = new NoteFit(templates, layout);

describe('levels of notes', () => {
  it('are what a spectrum was put together from, octaves and twelfths too', () => {
    const spectrum = new Float64Array(layout.count).fill(0.2 / layout.count);
    const made = new Map([
      [55, 1],
      [67, 0.6],
      [74, 0.5],
      [83, 0.3],
    ]);
    for (const [note, level] of made) {
      const { places, weights } = templates[note - 55] as (typeof templates)[number];
      places.forEach((place, at) => {
        spectrum[place] = (spectrum[place] as number) + level * (weights[at] as number);
      });
    }
    const levels = fit.levels(spectrum);
    templates.forEach(({ note }, index) => {
      expect(Math.abs((levels[index] as number) - (made.get(note) ?? 0))).toBeLessThan(0.12);
    });
    expect(levels.reduce((sum, level) => sum + level, 0)).toBeCloseTo(2.6, 6);
  });

  it('leave noise to the noise', () => {
    const levels = fit.levels(new Float64Array(layout.count).fill(1));
    const notes = levels.subarray(0, templates.length).reduce((sum, level) => sum + level, 0);
    expect(notes).toBeLessThan(0.05 * layout.count);
  });

  it('are zero in silence', () => {
    expect([...fit.levels(new Float64Array(layout.count))].every((level) => level === 0)).toBe(true);
  });
});
