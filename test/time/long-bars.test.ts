import { describe, expect, it } from 'vitest';
import { noteName } from '../../src/theory/pitch.js';
import { patterns } from '../../src/time/pattern.js';
import { score, strokes, together } from './scores.js';

/** Strokes of the first bar as `beat voice`, quarters from 1, and its bass. */
function sounds(written: string, head = {}, name = 'low-chop'): { struck: string; bass: string } {
  const pattern = patterns.find((one) => one.name === name);
  const made = score(
    written,
    { crooked: 'yes', ...head },
    {
      sound: together,
      ...(pattern ? { patternOf: () => pattern } : {}),
    },
  );
  const place = (at: number): number => Number((at / 960 + 1).toFixed(2));
  return {
    struck: [
      ...new Set(
        strokes(made, 0).map(
          (one) => `${place(Number(one.split(' ')[0]))} ${one.split(' ')[1]?.split('×')[0]}`,
        ),
      ),
    ].join(', '),
    bass: (made.notes[0] ?? [])
      .filter(({ voice }) => voice === 'bass')
      .map(({ at, note }) => `${place(at)} ${noteName(note)}`)
      .join(', '),
  };
}

describe('a bar that is longer than its meter', () => {
  it('goes on with low notes on odd beats and chops on even ones, the bass on every other beat', () => {
    expect(sounds('(1......)')).toStrictEqual({
      struck: '1 low, 2 chop, 3 low, 4 chop, 5 low, 6 chop',
      bass: '1 G, 3 D, 5 G',
    });
    // The second chord is struck where it comes, on an even beat as a chop.
    expect(sounds('(5... 1...)')).toStrictEqual({
      struck: '1 low, 2 chop, 3 low, 4 chop, 5 low, 6 chop',
      bass: '1 D, 3 A, 4 G, 5 D',
    });
    expect(sounds('(1.....)').struck).toBe('1 low, 2 chop, 3 low, 4 chop, 5 low');
  });

  it.each([
    ['3/4', '(1....)', '1 low, 2 chop, 3 chop, 4 low', '1 G, 4 D'],
    ['2/2', '(1...)', '1 low, 2 chop, 3 low, 4 chop, 5 low, 6 chop', '1 G, 3 D, 5 G'],
    ['2/4', '(1...)', '1 low, 1.5 chop, 2 low, 2.5 chop, 3 low, 3.5 chop', '1 G, 2 D, 3 G'],
    ['6/8', '(1...)', '1 low, 2 chop, 2.5 low, 3.5 chop, 4 low, 5 chop', '1 G, 2.5 D, 4 G'],
  ])('goes on in %s', (meter, written, struck, bass) => {
    expect(sounds(written, { meter })).toStrictEqual({ struck, bass });
  });

  it('goes on in every pattern that strikes at all', () => {
    for (const { name, ends } of patterns) {
      if (ends || name === 'ring' || name === 'rest') continue;
      const { struck } = sounds('(1........)', {}, name);
      expect([
        name,
        struck.split(', ').filter((one) => Number.parseFloat(one) >= 5).length > 1,
      ]).toStrictEqual([name, true]);
    }
  });

  it('clicks its backbeats to the end', () => {
    const made = score('(1......)', { crooked: 'yes' });
    expect(made.bars[0]?.backbeats).toStrictEqual([960, 2880, 4800]);
  });
});

describe('a push', () => {
  it.each(['low-chop', 'low-chop-up', 'waltz', 'cut'])('is a chop in %s, not a low note', (name) => {
    const pattern = patterns.find((one) => one.name === name);
    const made = score("1 '4", {}, pattern ? { patternOf: () => pattern } : {});
    const pushed = (made.notes[1] ?? []).filter(({ at, voice }) => at < 3840 && voice !== 'bass');
    expect(pushed.map(({ voice }) => voice)).toStrictEqual(['chop', 'chop', 'chop', 'chop']);
  });
});

describe('the bass of a waltz', () => {
  const firsts = (written: string, head = {}): string => {
    const made = score(written, { meter: '3/4', ...head });
    return made.notes
      .map((bar) =>
        bar
          .filter(({ voice }) => voice === 'bass')
          .map(({ note }) => noteName(note))
          .join('+'),
      )
      .join(' ');
  };

  it('has the root, and the fifth in the next bar where the chord holds', () => {
    expect(firsts('1 1 1 1 4 4 5 1')).toBe('G D G D C G D G');
    expect(firsts('1 = = 4')).toBe('G D G C');
  });

  it('begins each time through a part with the root', () => {
    expect(firsts('1 1 1', { form: 'V x2' })).toBe('G D G G D G');
  });

  it('has the root where the chord is struck again, shared, or named with its bass', () => {
    expect(firsts("1 '1 1~ 1")).toBe('G G G G');
    expect(firsts('(1.. 4.) 4 4')).toBe('G+C C G');
    expect(firsts('1/3 1/3')).toBe('B B');
  });
});
