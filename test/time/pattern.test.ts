import { describe, expect, it } from 'vitest';
import { feltBeats, type Meter } from '../../src/chart/chart.js';
import { lowAndChop, patterns, strokesIn } from '../../src/time/pattern.js';

const meter = (text: string): Meter => {
  const [beats, unit] = text.split('/').map(Number);
  return { beats: beats as number, unit: unit as Meter['unit'] };
};
const written = (text: string): string =>
  strokesIn(lowAndChop, meter(text))
    .map((stroke) => `${stroke.courses === 'lowest' ? 'low' : 'chop'} ${(stroke.at + 1).toFixed(2)}`)
    .join(', ');

describe('the basic pattern', () => {
  // Common practice: in four the low note on 1 and 3, chops on 2 and 4; in three the low note on 1, chops
  // on 2 and 3; where two beats are felt, a low note on each and a chop after it.
  it.each([
    ['4/4', 'low 1.00, chop 2.00, low 3.00, chop 4.00'],
    ['3/4', 'low 1.00, chop 2.00, chop 3.00'],
    ['2/4', 'low 1.00, chop 1.50, low 2.00, chop 2.50'],
    ['2/2', 'low 1.00, chop 1.50, low 2.00, chop 2.50'],
    ['6/8', 'low 1.00, chop 1.67, low 2.00, chop 2.67'],
    ['5/4', 'low 1.00, chop 2.00, chop 3.00, chop 4.00, chop 5.00'],
    ['9/8', 'low 1.00, chop 2.00, chop 3.00'],
    ['12/8', 'low 1.00, chop 2.00, low 3.00, chop 4.00'],
    ['1/4', 'low 1.00'],
  ])('in %s: %s', (text, strokes) => {
    expect(written(text)).toBe(strokes);
  });

  it('damps its chops at once and lets no low note sound into the next stroke', () => {
    for (const stroke of strokesIn(lowAndChop, meter('4/4')))
      expect(stroke.ending).toBe(stroke.courses === 'lowest' ? 'choke' : 'chop');
  });
});

describe('every pattern', () => {
  const meters = ['4/4', '3/4', '2/4', '2/2', '3/2', '6/8', '9/8', '12/8', '5/8', '7/8', '5/4', '16/4'];

  it.each(patterns.flatMap((one) => meters.map((text) => [one.name, text, one] as const)))(
    '%s begins a bar of %s where it strikes changes, stays within it and goes forward',
    (_, text, pattern) => {
      const places = strokesIn(pattern, meter(text)).map((stroke) => stroke.at);
      if (pattern.change !== null && pattern.name !== 'ring') expect(places[0]).toBe(0);
      expect(places).toStrictEqual([...new Set(places)].sort((one, other) => one - other));
      expect(places.at(-1) ?? 0).toBeLessThan(feltBeats(meter(text)));
    },
  );

  it.each(patterns)('$name strikes as loud as MIDI can say', (pattern) => {
    for (const text of meters) {
      const levels = strokesIn(pattern, meter(text)).map((stroke) => stroke.loudness);
      expect(levels.filter((level) => level < 1 || level > 127)).toStrictEqual([]);
    }
  });
});
