import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ChordCandidate } from '../../src/listen/chord-odds.js';
import { verdictOf } from '../../src/listen/chord-verdict.js';

/** C, A minor and C7, C being expected, A minor before it. */
const candidates: readonly ChordCandidate[] = [
  { id: 'C', notes: [60, 64, 67, 72], pitchClasses: [0, 4, 7], role: 'expected' },
  { id: 'Am', notes: [57, 64, 72, 76], pitchClasses: [9, 0, 4], role: 'before' },
  { id: 'C7', notes: [60, 64, 70, 72], pitchClasses: [0, 4, 7, 10], role: 'other' },
];

/** Odds of pitch classes that are surely heard, surely not, or (`unclear`) neither. */
function sounding(heard: readonly number[], unclear: readonly number[] = []): Float64Array {
  return Float64Array.from({ length: 12 }, (_, pitchClass) =>
    unclear.includes(pitchClass) ? 0 : heard.includes(pitchClass) ? 6 : -6,
  );
}

describe('the verdict', () => {
  it.each([
    { heard: [0, 4, 7], best: 'C', expected: true },
    { heard: [0, 4, 9], best: 'Am', expected: false },
    { heard: [0, 4, 7, 10], best: 'C', expected: true },
    { heard: [0, 4], best: 'C', expected: true },
    { heard: [2, 6, 9], best: null, expected: false },
  ])('of a chop with $heard: $best', ({ heard, best, expected }) => {
    expect(verdictOf(sounding(heard), candidates, 'chop')).toMatchObject({ best, expected });
  });

  it('is none where what would tell is unclear', () => {
    const nothing = new Float64Array(12);
    expect(verdictOf(nothing, candidates, 'low').confidence).toBeLessThan(0.9);
    // The odds of A against G are even: C and A minor share the rest.
    const even = sounding([0, 4], [7, 9]);
    const [one, other] = candidates as readonly [ChordCandidate, ChordCandidate];
    const bare = [
      one,
      { ...other, notes: [] },
      { ...other, id: 'Em', pitchClasses: [4, 7, 11], role: 'other' as const },
    ];
    expect(verdictOf(even, bare, 'chop').confidence).toBeLessThan(
      verdictOf(sounding([0, 4, 7]), bare, 'chop').confidence,
    );
  });

  it('of a low note asks only whether it is the chord’s', () => {
    expect(verdictOf(sounding([0]), candidates, 'low').expected).toBe(true);
    expect(verdictOf(sounding([4]), candidates, 'low').expected).toBe(true);
    expect(verdictOf(sounding([9]), candidates, 'low')).toMatchObject({ best: 'Am', expected: false });
  });

  it('has shares that make no more than one, and a name only with a verdict, whatever is heard', () => {
    const odds = fc.array(fc.double({ min: -6, max: 6, noNaN: true }), { minLength: 12, maxLength: 12 });
    fc.assert(
      fc.property(odds, fc.constantFrom('low', 'chop', 'up'), (list, kind) => {
        const verdict = verdictOf(Float64Array.from(list), candidates, kind);
        const sum = [...verdict.scores.values()].reduce((all, one) => all + one, 0);
        expect(sum).toBeGreaterThanOrEqual(0);
        expect(sum).toBeLessThan(1 + 1e-9);
        expect(verdict.confidence).toBeGreaterThanOrEqual(0.5);
        expect(verdict.confidence).toBeLessThan(1 + 1e-9);
        if (verdict.expected === null) expect(verdict.best).toBeNull();
        if (verdict.expected === true) expect(verdict.best).toBe('C');
        if (verdict.expected === false) expect(['Am', null]).toContain(verdict.best);
      }),
    );
  });
});
