import { describe, expect, it } from 'vitest';
import type { Meter } from '../../src/chart/chart.js';
import { patterns, patternsIn, type Stroke, strokesIn } from '../../src/time/pattern.js';

const meter = (text: string): Meter => {
  const [beats, unit] = text.split('/').map(Number);
  return { beats: beats as number, unit: unit as Meter['unit'] };
};

/** A stroke as a player says it: the felt beat from 1, its off-beat as `+`, thirds and quarters of it as decimals; `!` is louder. */
function told({ at, direction, courses, ending, loudness }: Stroke): string {
  const across = ending === 'choke' ? 'down' : ending;
  const what = courses === 'lowest' ? 'low' : direction === 'up' ? 'up' : across;
  const beat = Math.floor(at + 1e-9);
  const part = Number((at - beat).toFixed(2));
  const place = `${beat + 1}${part === 0 ? '' : part === 0.5 ? '+' : String(part).slice(1)}`;
  return `${place} ${what}${ending === 'choke' && loudness > 90 ? '!' : ''}`;
}

const table = (text: string): Record<string, string> =>
  Object.fromEntries(
    patterns.map((pattern) => [pattern.name, strokesIn(pattern, meter(text)).map(told).join(' · ')]),
  );

// Common practice, read as a player: what is struck in one bar of each meter. Beats are felt ones: quarters in 4/4, 3/4
// and 2/4, halves in 2/2, dotted quarters in 6/8, 9/8 and 12/8. `ring` strikes changes only, `rest` nothing.
const strokes: Record<string, Record<string, string>> = {
  '4/4': {
    'low-chop': '1 low · 2 chop · 3 low · 4 chop',
    'low-chop-up': '1 low · 2 chop · 2+ up · 3 low · 4 chop · 4+ up',
    waltz: '1 low · 2 chop · 3 chop · 4 chop',
    cut: '1 low · 2 chop · 3 low · 4 chop',
    eighths: '1 down · 1+ up · 2 down! · 2+ up · 3 down · 3+ up · 4 down! · 4+ up',
    shuffle: '1 down · 1.67 up · 2 down! · 2.67 up · 3 down · 3.67 up · 4 down! · 4.67 up',
    ring: '',
    chop: '2 chop · 4 chop',
    rest: '',
    'last-stroke': '1 ring',
    'last-run': '1 chop · 4 ring',
    'last-two': '2 chop · 3 chop',
  },
  '3/4': {
    'low-chop': '1 low · 2 chop · 3 chop',
    'low-chop-up': '1 low · 2 chop · 2+ up · 3 chop · 3+ up',
    waltz: '1 low · 2 chop · 3 chop',
    cut: '1 low · 1+ chop · 2 low · 2+ chop · 3 low · 3+ chop',
    eighths: '1 down · 1+ up · 2 down! · 2+ up · 3 down! · 3+ up',
    shuffle: '1 down · 1.67 up · 2 down! · 2.67 up · 3 down! · 3.67 up',
    ring: '',
    chop: '2 chop · 3 chop',
    rest: '',
    'last-stroke': '1 ring',
    'last-run': '1 chop · 3 ring',
    'last-two': '2 chop · 3 chop',
  },
  '2/4': {
    'low-chop': '1 low · 1+ chop · 2 low · 2+ chop',
    'low-chop-up': '1 low · 1+ chop · 1.75 up · 2 low · 2+ chop · 2.75 up',
    waltz: '1 low · 2 chop',
    cut: '1 low · 1+ chop · 2 low · 2+ chop',
    eighths: '1 down · 1+ up · 2 down! · 2+ up',
    shuffle: '1 down · 1.67 up · 2 down! · 2.67 up',
    ring: '',
    chop: '1+ chop · 2+ chop',
    rest: '',
    'last-stroke': '1 ring',
    'last-run': '1 chop · 2 ring',
    'last-two': '2 chop · 2+ chop',
  },
  '2/2': {
    'low-chop': '1 low · 1+ chop · 2 low · 2+ chop',
    'low-chop-up': '1 low · 1+ chop · 1.75 up · 2 low · 2+ chop · 2.75 up',
    waltz: '1 low · 2 chop',
    cut: '1 low · 1+ chop · 2 low · 2+ chop',
    eighths: '1 down · 1.25 up · 1+ down! · 1.75 up · 2 down · 2.25 up · 2+ down! · 2.75 up',
    shuffle: '1 down · 1.67 up · 2 down · 2.67 up',
    ring: '',
    chop: '1+ chop · 2+ chop',
    rest: '',
    'last-stroke': '1 ring',
    'last-run': '1 chop · 2+ ring',
    'last-two': '1+ chop · 2 chop',
  },
  '6/8': {
    'low-chop': '1 low · 1.67 chop · 2 low · 2.67 chop',
    'low-chop-up': '1 low · 1.67 chop · 2 low · 2.67 chop',
    waltz: '1 low · 2 chop',
    cut: '1 low · 1.67 chop · 2 low · 2.67 chop',
    eighths: '1 down · 1.33 up · 1.67 down! · 2 up · 2.33 down · 2.67 up!',
    shuffle: '1 down · 1.67 up! · 2 down · 2.67 up!',
    ring: '',
    chop: '1.67 chop · 2.67 chop',
    rest: '',
    'last-stroke': '1 ring',
    'last-run': '1 chop · 2 ring',
    'last-two': '1.67 chop · 2 chop',
  },
  '9/8': {
    'low-chop': '1 low · 2 chop · 3 chop',
    'low-chop-up': '1 low · 2 chop · 2.33 up · 3 chop · 3.33 up',
    waltz: '1 low · 2 chop · 3 chop',
    cut: '1 low · 1.67 chop · 2 low · 2.67 chop · 3 low · 3.67 chop',
    eighths: '1 down · 1.33 up · 1.67 down · 2 up! · 2.33 down · 2.67 up · 3 down! · 3.33 up · 3.67 down',
    shuffle: '1 down · 1.67 up · 2 down! · 2.67 up · 3 down! · 3.67 up',
    ring: '',
    chop: '2 chop · 3 chop',
    rest: '',
    'last-stroke': '1 ring',
    'last-run': '1 chop · 2 ring',
    'last-two': '1.67 chop · 2 chop',
  },
  '12/8': {
    'low-chop': '1 low · 2 chop · 3 low · 4 chop',
    'low-chop-up': '1 low · 2 chop · 2.33 up · 3 low · 4 chop · 4.33 up',
    waltz: '1 low · 2 chop · 3 chop · 4 chop',
    cut: '1 low · 1.67 chop · 2 low · 2.67 chop · 3 low · 3.67 chop · 4 low · 4.67 chop',
    eighths:
      '1 down · 1.33 up · 1.67 down · 2 up! · 2.33 down · 2.67 up · 3 down · 3.33 up · 3.67 down · 4 up! · 4.33 down · 4.67 up',
    shuffle: '1 down · 1.67 up · 2 down! · 2.67 up · 3 down · 3.67 up · 4 down! · 4.67 up',
    ring: '',
    chop: '2 chop · 4 chop',
    rest: '',
    'last-stroke': '1 ring',
    'last-run': '1 chop · 2 ring',
    'last-two': '1.67 chop · 2 chop',
  },
};

describe('what is struck', () => {
  it.each(Object.entries(strokes))('in a bar of %s by every pattern', (text, expected) => {
    expect(table(text)).toStrictEqual(expected);
  });

  it('offers in each meter what is made for it, once: cut time where two are felt, a waltz in three', () => {
    const offered = (text: string): string =>
      patternsIn(meter(text))
        .map(({ name }) => name)
        .join(' ');
    expect(offered('4/4')).toBe('low-chop low-chop-up eighths shuffle chop');
    // The waltz's third beat is softer.
    expect(offered('3/4')).toBe('low-chop low-chop-up waltz eighths shuffle chop');
    expect(offered('2/4')).toBe('low-chop low-chop-up eighths shuffle chop');
    // An eighth after the chop of 6/8 stands the next low note: there is no upstroke.
    expect(offered('6/8')).toBe('low-chop eighths shuffle chop');
  });
});
