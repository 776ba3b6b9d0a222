import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { noteHertz, tableOf } from '../../../src/player/synth/tables.js';

describe('noteHertz', () => {
  // A4 = 440 Hz; OEIS A329209, A329214 and A329218 for D4, G4 and B4; G3 and E5 by the same formula.
  it.each([
    [69, 440],
    [62, 293.6647679174],
    [67, 391.9954359817],
    [71, 493.8833012561],
    [55, 195.9977],
    [76, 659.2551],
  ])('note %i has %f Hz', (note, hertz) => {
    expect(noteHertz(note)).toBeCloseTo(hertz, 4);
  });
});

describe('tableOf', () => {
  const table = (voice: number, note: number, velocity: number, length: number) =>
    tableOf({ voice, note, velocity, length });

  it('has one table for what sounds alike, and another for what does not', () => {
    expect(table(3, 62, 96, 60).key).toBe(table(3, 62, 100, 61.4).key);
    expect(table(0, 77, 72, 50).key).toBe(table(0, 77, 44, 0).key);
    const others = [
      table(3, 62, 96, 60),
      table(3, 62, 96, 70),
      table(3, 62, 60, 60),
      table(3, 64, 96, 60),
      table(2, 62, 96, 60),
      table(1, 62, 96, 60),
      table(0, 76, 96, 60),
      table(0, 77, 96, 60),
    ];
    expect(new Set(others.map(({ key }) => key)).size).toBe(others.length);
  });

  it('takes a stroke of the chop that is held, or whose end is not known, for a course that rings', () => {
    expect(table(3, 62, 96, 400).key).toBe(table(2, 62, 96, 400).key);
    expect(table(3, 62, 96, 0).key).toBe(table(2, 62, 96, 0).key);
    expect(table(3, 62, 96, 90).key).not.toBe(table(2, 62, 96, 90).key);
  });

  it('never mixes two sounds up, whatever is asked for', () => {
    const any = fc.record({
      voice: fc.integer({ min: 1, max: 3 }),
      note: fc.integer({ min: 0, max: 127 }),
      velocity: fc.integer({ min: 1, max: 127 }),
      length: fc.double({ min: 0, max: 2000, noNaN: true }),
    });
    const words = ({
      voice,
      note,
      velocity,
      length,
    }: {
      voice: number;
      note: number;
      velocity: number;
      length: number;
    }) =>
      [
        voice === 1
          ? 'bass'
          : voice === 3 && length > 0 && length < 97.5
            ? `chop ${Math.max(1, Math.round(length / 5))}`
            : 'rings',
        note,
        velocity >> 5,
      ].join(' ');
    fc.assert(
      fc.property(any, any, (one, other) => {
        expect(tableOf(one).key === tableOf(other).key).toBe(words(one) === words(other));
      }),
    );
  });

  it('has samples for every note and velocity that MIDI has', () => {
    for (const voice of [0, 1, 2, 3])
      for (const note of [0, 1, 60, 126, 127])
        for (const velocity of [1, 127])
          for (const length of [0, 0.1, 40])
            expect(table(voice, note, velocity, length).samples(22_050).every(Number.isFinite)).toBe(true);
  });
});
