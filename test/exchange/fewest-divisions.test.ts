import { describe, expect, it } from 'vitest';
import { fewestDivisions } from '../../src/exchange/fewest-divisions.js';

const measure = (divisions: number, ...durations: readonly number[]): string =>
  `<attributes><divisions>${divisions}</divisions></attributes><offset>-${divisions / 2}</offset>${durations.map((one) => `<note><duration>${one}</duration></note>`).join('')}`;

describe('a part with as few divisions as it needs', () => {
  it.each([
    ['eighths', measure(161_280, 80_640, 161_280), measure(2, 1, 2)],
    ['triplets of eighths', measure(161_280, 53_760, 53_760, 53_760, 80_640), measure(6, 2, 2, 2, 3)],
    ['what has nothing in common', measure(2, 1, 3), measure(2, 1, 3)],
  ])('%s', (_, long, short) => {
    expect(fewestDivisions([long])).toStrictEqual([short]);
  });

  it('looks at all measures together, and at nothing but counts', () => {
    const [first, second] = fewestDivisions([
      measure(960, 960),
      '<note><duration>320</duration></note><per-minute>120</per-minute>',
    ]);
    expect(first).toBe(measure(6, 6));
    expect(second).toBe('<note><duration>2</duration></note><per-minute>120</per-minute>');
  });
});
