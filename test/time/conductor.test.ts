import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { begin, positionAt } from '../../src/time/conductor.js';
import { segmentBars } from '../../src/time/segment.js';
import { score } from './scores.js';
import { accents, anyTake, eventsOf, goOn, take } from './takes.js';

const repeated = (count: number): string => Array(count).fill('1').join(' ');

describe('begin', () => {
  it('counts in with the click alone, then plays', () => {
    const [count, music] = begin(take('1 4'), 0, 1000).segments;
    expect(count).toMatchObject({ id: 1, startTick: 1000, skip: 0, length: 3840, onEnd: 'next' });
    expect(count && eventsOf(count).map(({ tick, note }) => [tick, note])).toStrictEqual([
      [1000, 76],
      [1960, 77],
      [2920, 77],
      [3880, 77],
    ]);
    expect(music).toMatchObject({ id: 2, startTick: 4840, skip: 0, length: 7680, onEnd: 'stop' });
  });

  it.each([
    [0, []],
    [1, [0]],
    [2, [0, 3840]],
  ])('counts %i bars', (countIn, starts) => {
    const { segments } = begin(take('1 4', { countIn }), 0, 0);
    expect(segments).toHaveLength(countIn === 0 ? 1 : 2);
    expect(countIn === 0 ? [] : segments[0] && accents(segments[0])).toStrictEqual(starts);
  });

  it('counts in the meter of the bar it begins at, and begins there', () => {
    const { segments, conductor } = begin(take('1 @3/4 4 5'), 1, 0);
    expect(segments.map((one) => one.length)).toStrictEqual([2880, 5760]);
    expect(positionAt(conductor, 2880)).toMatchObject({ phase: 'bar', bar: 1, pass: 1 });
  });

  it('plays at the share of the tempo, one pair for each stretch of equal tempo', () => {
    const [, music] = begin(take('1 1 @tempo=60 4 4 @tempo=120 1', { share: 0.5 }), 0, 0).segments;
    // A quarter lasts 60 000 / (tempo · share) ms, a tick the 960th part of it.
    expect([...(music?.tempoMap ?? [])]).toStrictEqual([0, 1000 / 960, 7680, 2000 / 960, 15360, 1000 / 960]);
  });
});

describe('what is sent', () => {
  it.each([
    ['one pass', 1, ['next', 'stop']],
    ['three passes', 3, ['next', 'next', 'next', 'stop']],
    ['passes without end', null, ['next', 'repeat']],
  ])('%s', (_, passes, ends) => {
    const { conductor, segments } = goOn(begin(take('1 4', { passes }), 0, 0), 40_000);
    expect(segments.map((one) => one.onEnd)).toStrictEqual(ends);
    expect(conductor.next).toBeNull();
  });

  it('goes to the end of the pass before it repeats, when it began within', () => {
    const { segments } = goOn(begin(take('1 4 5', { passes: null, countIn: 0 }), 2, 0), 40_000);
    expect(segments.map((one) => [one.length, one.onEnd])).toStrictEqual([
      [3840, 'next'],
      [3 * 3840, 'repeat'],
    ]);
  });

  it.each([
    [64, 1, [64]],
    [65, 1, [64, 1]],
    [150, 1, [64, 64, 22]],
    [70, null, [64, 6, 64, 6, 64]],
  ])('sends %i bars (passes: %s) in pieces of at most 64', (bars, passes, sizes) => {
    const until = (sizes.reduce((sum, size) => sum + size, 0) - 16) * 3840;
    const { segments } = goOn(begin(take(repeated(bars), { passes, countIn: 0 }), 0, 0), until);
    expect(segments.map((one) => one.length / 3840)).toStrictEqual(sizes);
    expect(segments.map((one) => accents(one).length)).toStrictEqual(sizes);
    expect(segments.some((one) => one.onEnd === 'repeat')).toBe(false);
  });

  it('waits with a long pass until it is near', () => {
    const begun = begin(take(repeated(150)), 0, 0);
    expect(begun.segments).toHaveLength(2);
    expect(goOn(begun, 40 * 3840).segments).toHaveLength(2);
    expect(goOn(begun, 60 * 3840).segments).toHaveLength(3);
  });

  it('plays a range half open: its last bar is the one before its end', () => {
    const loop = take('1 4 5 1', { range: { from: 1, to: 3 }, passes: null, countIn: 0 });
    const { segments, conductor } = begin(loop, 1, 0);
    expect(segments.map((one) => [one.length, one.onEnd])).toStrictEqual([[2 * 3840, 'repeat']]);
    expect(segments[0] && accents(segments[0])).toStrictEqual([0, 3840]);
    const bars = [0, 1, 2, 3, 4].map((index) => positionAt(conductor, index * 3840));
    expect(bars.map(({ bar, pass }) => [bar, pass])).toStrictEqual([
      [1, 1],
      [2, 1],
      [1, 2],
      [2, 2],
      [1, 3],
    ]);
  });

  it.each([0, 3, 99])('begins a range at its start when asked for bar %i outside it', (bar) => {
    const { conductor } = begin(take('1 4 5 1', { range: { from: 1, to: 3 }, countIn: 0 }), bar, 0);
    expect(positionAt(conductor, 0)).toMatchObject({ phase: 'bar', bar: 1 });
  });

  it('plays the final pass as it is written for the end', () => {
    const made = take('1 4', { passes: 2, countIn: 0, finalScore: score('1 4 5 1') });
    const { segments, conductor } = begin(made, 0, 0);
    expect(segments.map((one) => [one.length / 3840, one.onEnd])).toStrictEqual([
      [2, 'next'],
      [4, 'stop'],
    ]);
    expect(positionAt(conductor, 5 * 3840)).toMatchObject({ phase: 'bar', pass: 2, bar: 3 });
    expect(positionAt(conductor, 6 * 3840).phase).toBe('end');
  });

  it('can begin at a bar that only the final pass has, when that is the one that is played', () => {
    const made = take('1 4', { passes: 1, countIn: 0, finalScore: score('1 4 5 1') });
    expect(positionAt(begin(made, 3, 0).conductor, 0)).toMatchObject({ phase: 'bar', pass: 1, bar: 3 });
  });

  it('joins without a gap, in pieces that have their own number, a length and at most 64 bars', () => {
    fc.assert(
      fc.property(anyTake, fc.nat(), fc.nat({ max: 200_000 }), (made, bar, until) => {
        const first = bar % made.score.bars.length;
        const { segments } = goOn(begin(made, first, 777), until);
        segments.forEach((one, index) => {
          const before = segments[index - 1];
          expect(one.startTick).toBe(before ? before.startTick + before.length : 777);
          expect(one.id).toBe(index + 1);
          expect(one.length).toBeGreaterThan(0);
          expect(accents(one).length).toBeLessThanOrEqual(segmentBars);
          expect(before?.onEnd ?? 'next').toBe('next');
        });
      }),
    );
  });
});
