import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { changesOf } from '../../src/hand/changes.js';
import { fittingTempo, hardChanges } from '../../src/hand/hard-changes.js';
import { mandolin } from '../../src/hand/instrument.js';
import { planHand } from '../../src/hand/plan.js';
import { bars, changes } from './charts.js';

describe('the tempo up to which a change fits', () => {
  // The fingers are free 60 ms after the chop, and the shape must be down at the next stroke.
  it.each([
    [240, 1, 200],
    [103, 1, 368],
    [236, 1, 202],
    [240, 2, 400],
    [240, 0.5, 100],
  ])('a change of %i ms fits into %d quarters up to %i', (ms, quarters, bpm) => {
    expect(fittingTempo({ ms }, quarters)).toBe(bpm);
  });

  it('never fits a slower change at a higher tempo where the room is the same, and lists in that order', () => {
    const numbers = fc.array(fc.constantFrom('1', '4', '5', '6-', '2-', 'b7', '5^7', '2^7'), {
      minLength: 2,
      maxLength: 12,
    });
    fc.assert(
      fc.property(numbers, fc.constantFrom('G', 'A', 'Bb', 'C', 'D', 'E'), (written, tonic) => {
        const hardest = hardChanges(planHand(changes(written.join(' '), tonic), mandolin));
        hardest.slice(1).forEach((one, index) => {
          const before = hardest[index] as (typeof hardest)[number];
          expect(one.ms).toBeLessThanOrEqual(before.ms);
          expect(one.bpm).toBeGreaterThanOrEqual(before.bpm);
        });
      }),
      { numRuns: 60 },
    );
  });

  it('gives a change between beats the room from the beat before it, and one in cut time that of its half', () => {
    const inMeter = (written: string, meter: string) =>
      hardChanges(planHand(changesOf(bars(written, { meter })), mandolin)).find(
        ({ from, to }) => from.chord.root === 'G' && to.chord.root === 'D',
      );
    const [four, cut, between] = [
      inMeter('1 5', '4/4'),
      inMeter('1 5', '2/2'),
      inMeter('(1 5 5 5 5 5 5 5)', '4/4'),
    ];
    expect(four?.bpm).toBe(fittingTempo({ ms: four?.ms ?? 0 }));
    expect(cut?.bpm).toBe(fittingTempo({ ms: cut?.ms ?? 0 }, 2));
    expect(between?.bpm).toBe(fittingTempo({ ms: between?.ms ?? 0 }, 0.5));
  });
});
