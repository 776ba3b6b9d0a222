import { describe, expect, it } from 'vitest';
import { effortOf, effortParts, type StrokeEnd } from '../../src/hand/effort.js';
import { mandolin } from '../../src/hand/instrument.js';
import { type PlayerHand, smallHand, usualHand } from '../../src/hand/player-hand.js';
import { fingering } from './shapes.js';

const a = { root: 'A', quality: 'major', bass: null } as const;
const parts = (frets: string, fingers: string, stroke: StrokeEnd = 'chop') =>
  Object.fromEntries(
    effortParts(fingering(frets, fingers), a, mandolin, { stroke }).map(({ name, ms }) => [name, ms]),
  );

describe('effortParts', () => {
  it('prices one finger across two neighbouring courses below two tips in one fret', () => {
    expect(parts('2-2-4-5', '1134')).toEqual({ 'flat finger': 1, 'weak fingers': 6 });
    expect(parts('2-2-4-5', '1234')['crowded fingers']).toBeGreaterThan(4);
  });

  it('prices an open course where strokes are damped at once, not where they ring', () => {
    expect(parts('2-2-4-0', '113x', 'chop')['open courses']).toBe(4);
    expect(parts('2-2-4-0', '113x', 'ring')['open courses']).toBeUndefined();
  });

  it('prices reach by the hand that has it', () => {
    const reach = (hand: PlayerHand) =>
      effortParts(fingering('7-5-2-3', '4312'), a, mandolin, { hand }).find(({ name }) => name === 'reach')
        ?.ms ?? 0;
    expect(reach(smallHand)).toBeGreaterThan(reach(usualHand));
  });

  it('prices what the player chose as given', () => {
    const chosen = effortParts(fingering('2-2-4-5', '1234'), a, mandolin, { given: true });
    expect(chosen.map(({ name }) => name)).toEqual([]);
  });

  it('names its parts, in whole milliseconds that add up', () => {
    const named = effortParts(fingering('x-9-6-7', 'x412'), { ...a, root: 'B' }, mandolin, {
      leavesOut: [7, 4],
    });
    expect(named.map(({ name }) => name)).toEqual([
      'courses not sounding',
      'weak fingers',
      'high on the neck',
      'tones left out',
    ]);
    expect(effortOf(named)).toBe(named.reduce((sum, { ms }) => sum + ms, 0));
    expect(named.every(({ ms }) => Number.isInteger(ms))).toBe(true);
  });
});
