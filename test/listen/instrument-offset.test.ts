import { describe, expect, it } from 'vitest';
import { InstrumentOffset } from '../../src/listen/instrument-offset.js';

const peaks = (cents: number) =>
  [60, 64, 67].map((note) => ({ hertz: 440 * 2 ** ((note - 69 + cents / 100) / 12), magnitude: 1 }));

describe('how sharp an instrument is', () => {
  it('is zero before anything is heard', () => {
    expect(new InstrumentOffset().cents).toBe(0);
  });

  it.each([-40, -15, 0, 20, 44])('comes to %i cents', (cents) => {
    const offset = new InstrumentOffset();
    for (let stroke = 0; stroke < 60; stroke += 1) offset.add(peaks(cents));
    expect(Math.abs(offset.cents - cents)).toBeLessThan(1.5);
  });

  it('follows an instrument that is tuned again', () => {
    const offset = new InstrumentOffset();
    for (let stroke = 0; stroke < 60; stroke += 1) offset.add(peaks(-30));
    for (let stroke = 0; stroke < 200; stroke += 1) offset.add(peaks(5));
    expect(Math.abs(offset.cents - 5)).toBeLessThan(3);
  });

  it('takes nothing from a stroke without peaks', () => {
    const offset = new InstrumentOffset();
    offset.add(peaks(10));
    const { cents } = offset;
    offset.add([]);
    expect(offset.cents).toBe(cents);
  });
});
