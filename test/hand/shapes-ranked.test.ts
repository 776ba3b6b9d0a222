import { describe, expect, it } from 'vitest';
import { effortOf } from '../../src/hand/effort.js';
import { fretsText } from '../../src/hand/fingering.js';
import { fingeringsOf } from '../../src/hand/fingerings.js';
import { instruments, mandolin } from '../../src/hand/instrument.js';
import { usualHand } from '../../src/hand/player-hand.js';
import { rankedShapes } from '../../src/hand/shapes.js';
import { type StockShape, stockShapes } from '../../src/hand/stock.js';
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

  it('have every other way to finger them beside the first, the least effort first', () => {
    const [a] = rankedShapes(chord('A'), mandolin).filter(
      ({ fingering: one }) => fretsText(one.frets) === '2-2-4-5',
    );
    expect(a?.fingering.fingers).toEqual([1, 1, 3, 4]);
    expect(a?.alternatives[0]).toEqual({ fingers: [1, 1, 2, 3], effort: 14 });
    for (const shape of rankedShapes(chord('A'), mandolin, { open: true })) {
      const efforts = [shape.effort, ...shape.alternatives.map(({ effort }) => effort)];
      expect(efforts).toEqual([...efforts].sort((one, other) => one - other));
      const ways = [shape.fingering, ...shape.alternatives].map(({ fingers }) => fingers.join());
      expect(new Set(ways).size).toBe(ways.length);
      const all = fingeringsOf(shape.fingering.frets, mandolin, usualHand, 'any');
      expect(ways.sort()).toEqual(all.map(({ fingers }) => fingers.join()).sort());
    }
  });

  describe('that a player has of their own', () => {
    const own = (frets: string, fingers: string): StockShape => ({
      name: null,
      quality: 'major',
      root: 'A',
      frets,
      fingers: [fingers],
      source: 'own',
    });
    const found = (shape: StockShape) =>
      rankedShapes(chord('A'), mandolin, { known: [shape, ...stockShapes] }).find(
        ({ fingering: one }) => fretsText(one.frets) === shape.frets,
      );

    it('come with the fingers that are given, at no more than the model’s own', () => {
      const shape = found(own('2-2-4-5', '1224'));
      const usual = rankedShapes(chord('A'), mandolin).find(
        ({ fingering: one }) => fretsText(one.frets) === '2-2-4-5',
      );
      expect(shape?.fingering.fingers).toEqual([1, 2, 2, 4]);
      expect(shape?.effort).toBe(usual?.effort);
      expect(shape?.alternatives[0]?.fingers).toEqual([1, 1, 3, 4]);
      expect(shape?.stock).toBe(true);
    });

    it('are used though no rule of ours would find their fingers or their frets', () => {
      // Fingers out of their order, and a reach of 141 mm from the first fret to the ninth.
      expect(found(own('2-2-4-5', '4321'))?.fingering.fingers).toEqual([4, 3, 2, 1]);
      expect(found(own('2-11-4-5', '1423'))?.fingering.fingers).toEqual([1, 4, 2, 3]);
    });
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
