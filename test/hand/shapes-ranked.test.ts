import { describe, expect, it } from 'vitest';
import { effortOf } from '../../src/hand/effort.js';
import { fretsText } from '../../src/hand/fingering.js';
import { instruments, mandolin } from '../../src/hand/instrument.js';
import { rankedShapes } from '../../src/hand/shapes.js';
import { qualities } from '../../src/theory/quality.js';
import { chord } from '../theory/reading.js';

describe('rankedShapes', () => {
  it('come with the least effort first, which is the sum of its parts', () => {
    const ranked = rankedShapes(chord('A'), mandolin);
    for (const [index, one] of ranked.entries()) {
      expect(one.effort).toBe(effortOf(one.parts));
      expect(one.effort).toBeGreaterThanOrEqual(ranked[index - 1]?.effort ?? 0);
    }
    // A habit, not an optimum: by effort alone others stand before the four-finger chop.
    const place = ranked.findIndex((one) => fretsText(one.fingering.frets) === '9-7-4-5');
    expect(place).toBeGreaterThan(0);
    expect(ranked[place]?.stock).toBe(true);
  });

  it('have no flattened finger on double courses before one that has none', () => {
    const first = rankedShapes(chord('G'), mandolin)[0];
    expect(first?.parts.map((part) => part.name)).not.toContain('flat finger');
  });

  it('exist for every quality on the mandolin, in every key', () => {
    for (const { id } of qualities) {
      for (const root of ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']) {
        expect(rankedShapes({ root, quality: id, bass: null }, mandolin).length).toBeGreaterThan(0);
      }
    }
  });

  it('exist for the plain chords on every instrument', () => {
    for (const instrument of instruments) {
      for (const name of ['C', 'G', 'Am', 'D7'])
        expect(rankedShapes(chord(name), instrument).length).toBeGreaterThan(0);
    }
  });
});
