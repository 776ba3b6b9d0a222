import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { begin, type Position, positionAt, type Take } from '../../src/time/conductor.js';
import { anyTake, goOn, take } from './takes.js';

/** Where the music must stand, found by walking the bars one after the other. */
function walked(
  of: Take,
  first: number,
  tick: number,
): Pick<Position, 'phase' | 'pass' | 'bar'> & { into: number } {
  const { bars } = of.score;
  const { from, to } = of.range ?? { from: 0, to: bars.length };
  const counted = bars[first]?.length as number;
  if (tick < of.countIn * counted) return { phase: 'count-in', pass: 1, bar: first, into: tick % counted };
  let into = tick - of.countIn * counted;
  for (let pass = 1; of.passes === null || pass <= of.passes; pass += 1) {
    for (let bar = pass === 1 ? first : from; bar < to; bar += 1) {
      const length = bars[bar]?.length as number;
      if (into < length) return { phase: 'bar', pass, bar, into };
      into -= length;
    }
  }
  return { phase: 'end', pass: of.passes ?? 0, bar: to - 1, into: 0 };
}

describe('positionAt', () => {
  it('tells beat and place within it', () => {
    const { conductor } = begin(take('1 @3/4 4'), 0, 0);
    expect(positionAt(conductor, 1200)).toStrictEqual({
      phase: 'count-in',
      pass: 1,
      bar: 0,
      beat: 1,
      into: 0.25,
      ticksLeft: 720,
    });
    expect(positionAt(conductor, 2 * 3840 + 2 * 960)).toMatchObject({
      phase: 'bar',
      bar: 1,
      beat: 2,
      into: 0,
    });
    expect(positionAt(conductor, -50)).toMatchObject({ phase: 'count-in', beat: 0, into: 0 });
  });

  it('is where walking bar by bar comes to', () => {
    fc.assert(
      fc.property(anyTake, fc.nat(), fc.nat({ max: 150_000 }), (made, bar, tick) => {
        const { from, to } = made.range ?? { from: 0, to: made.score.bars.length };
        const first = from + (bar % (to - from));
        const position = positionAt(goOn(begin(made, first, 0), tick).conductor, tick);
        const { into, ...there } = walked(made, first, tick);
        expect(position).toMatchObject(there);
        if (there.phase === 'end') return;
        const beats = made.score.bars[there.bar]?.beats ?? [];
        expect(beats[position.beat]).toBeLessThanOrEqual(into);
        expect(into + position.ticksLeft).toBe(
          beats[position.beat + 1] ?? made.score.bars[there.bar]?.length,
        );
      }),
    );
  });
});
