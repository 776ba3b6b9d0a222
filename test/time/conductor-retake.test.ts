import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { begin, type Conductor, positionAt, retake, type Take } from '../../src/time/conductor.js';
import { score } from './scores.js';
import { accents, anyTake, goOn, take } from './takes.js';

const bar = 3840;

/** A take in flight at a tick. */
const flying = (made: Take, tick: number, first = 0): Conductor =>
  goOn(begin(made, first, 0), tick).conductor;

describe('retake', () => {
  it('goes on at the same place of the same bar, at another tempo', () => {
    const tick = 2 * bar + 1000;
    const slower = { ...take('1 4 5'), share: 0.5 };
    const { segments, conductor } = retake(flying(take('1 4 5'), tick), slower, tick);
    expect(segments[0]).toMatchObject({ startTick: tick, skip: 1000, length: 2 * bar - 1000, onEnd: 'stop' });
    expect([...(segments[0]?.tempoMap ?? [])]).toStrictEqual([0, 1000 / 960]);
    expect(positionAt(conductor, tick)).toMatchObject({ bar: 1, beat: 1, into: 40 / 960 });
  });

  it('keeps the position before, at and after the tick, also twice in a row', () => {
    const ticks = fc.nat({ max: 100_000 });
    fc.assert(
      fc.property(anyTake, fc.nat(), ticks, fc.nat({ max: 9000 }), ticks, (made, first, at, then, later) => {
        const from = made.range?.from ?? 0;
        const old = begin(made, from + (first % ((made.range?.to ?? made.score.bars.length) - from)), 0);
        const here = (tick: number) => positionAt(goOn(old, tick).conductor, tick);
        fc.pre(here(at + then).phase !== 'end');
        const once = retake(goOn(old, at).conductor, { ...made, share: 0.7 }, at).conductor;
        for (const tick of [at - 1, at, at + 1]) {
          if (tick < 0) continue;
          expect(positionAt(once, tick)).toStrictEqual(here(tick));
        }
        const second = goOn({ conductor: once, segments: [] }, at + then).conductor;
        const twice = retake(second, { ...made, share: 0.9 }, at + then);
        for (const tick of [at + then - 1, at + then, at + then + later]) {
          if (tick < at) continue;
          expect(positionAt(goOn(twice, tick).conductor, tick)).toStrictEqual(here(tick));
        }
      }),
    );
  });

  it('sends pieces that have a length, join, and have numbers of their own', () => {
    fc.assert(
      fc.property(anyTake, fc.nat({ max: 60_000 }), fc.option(fc.nat({ max: 9 })), (made, tick, to) => {
        const old = goOn(begin(made, made.range?.from ?? 0, 0), tick);
        const target = to === null ? undefined : to % made.score.bars.length;
        const { segments } = goOn(retake(old.conductor, made, tick, target), tick + 30_000);
        const highest = Math.max(...old.segments.map((one) => one.id));
        // Nothing can begin after the end of all that is played.
        const last = old.conductor.sent.at(-1);
        const ends = last && !last.repeats && !old.conductor.next ? last.startTick + last.length : tick;
        segments.forEach((one, index) => {
          const before = segments[index - 1];
          expect(one.startTick).toBe(before ? before.startTick + before.length : Math.min(tick, ends));
          expect(one.length).toBeGreaterThan(0);
          expect(one.id).toBe(highest + 1 + index);
        });
      }),
    );
  });

  it('goes to the start of a bar that is named, within the same pass', () => {
    const tick = bar + 3 * bar + 500;
    const made = take('1 4', { passes: 3 });
    const { segments, conductor } = retake(flying(made, tick), made, tick, 1);
    expect(segments[0]).toMatchObject({ startTick: tick, skip: 0, length: bar });
    expect(positionAt(conductor, tick)).toMatchObject({ phase: 'bar', pass: 2, bar: 1, beat: 0, into: 0 });
  });

  it('finishes the count-in that runs', () => {
    const made = take('1 4', { countIn: 2 });
    const { segments } = retake(flying(made, 1500), { ...made, share: 2 }, 1500);
    expect(segments[0]).toMatchObject({ startTick: 1500, skip: 1500, length: 2 * bar - 1500, onEnd: 'next' });
    expect(segments[0] && accents(segments[0])).toStrictEqual([bar]);
    expect(segments[1]).toMatchObject({ startTick: 2 * bar, skip: 0, onEnd: 'stop' });
  });

  it.each([
    ['one bar', 1],
    ['none', 0],
  ])(
    'sends nothing of negative length when the new take counts in %s and two are under way',
    (_, countIn) => {
      const tick = bar + 1000;
      const made = take('1 4', { countIn: 2 });
      const { segments } = retake(flying(made, tick), { ...made, countIn }, tick);
      expect(segments.filter((one) => one.length <= 0)).toStrictEqual([]);
    },
  );

  it('jumps to the start of a loop that the music stands outside of, and keeps to one that it stands in', () => {
    const made = take('1 4 5 1', { countIn: 0 });
    const tick = 2 * bar + 100;
    const outside = { ...made, passes: null, range: { from: 0, to: 2 } };
    expect(positionAt(retake(flying(made, tick), outside, tick).conductor, tick)).toMatchObject({
      bar: 0,
      into: 0,
    });
    const inside = retake(flying(made, tick), { ...outside, range: { from: 1, to: 3 } }, tick);
    expect(inside.segments.map((one) => [one.length, one.onEnd])).toStrictEqual([
      [bar - 100, 'next'],
      [2 * bar, 'repeat'],
    ]);
  });

  it('lets music end that ends before another tempo could begin', () => {
    const made = take('1 4', { countIn: 0 });
    const { conductor, segments } = retake(flying(made, 2 * bar), { ...made, share: 0.5 }, 2 * bar + 300);
    expect(segments).toStrictEqual([]);
    expect(positionAt(conductor, 2 * bar + 300)).toMatchObject({ phase: 'end', pass: 1 });
  });

  it('goes on at the end, without a gap, with the pass that the new take has more', () => {
    const made = take('1 4', { countIn: 0 });
    const tick = 2 * bar + 300;
    const { conductor, segments } = retake(flying(made, tick), { ...made, passes: null }, tick);
    expect(segments[0]).toMatchObject({ startTick: 2 * bar, skip: 0, onEnd: 'repeat' });
    expect(positionAt(conductor, tick)).toMatchObject({ phase: 'bar', pass: 2, bar: 0, into: 300 / 960 });
  });

  it('goes from the end to a bar that is named, without a gap', () => {
    const made = take('1 4', { countIn: 0 });
    const { segments } = retake(flying(made, 2 * bar), made, 2 * bar + 300, 1);
    expect(segments[0]).toMatchObject({ startTick: 2 * bar, skip: 0, length: bar });
  });

  it('goes on within the bars that only the final pass has', () => {
    const made = take('1 4', { passes: 1, countIn: 0, finalScore: score('1 4 5 1') });
    const tick = 3 * bar + 700;
    const old = flying(made, tick);
    expect(positionAt(old, tick)).toMatchObject({ bar: 3 });
    const { conductor } = retake(old, { ...made, share: 0.5 }, tick);
    expect(positionAt(conductor, tick)).toStrictEqual(positionAt(old, tick));
  });

  it('goes to a bar that only the final pass has', () => {
    const made = take('1 4', { passes: 1, countIn: 0, finalScore: score('1 4 5 1') });
    const { conductor } = retake(flying(made, 2 * bar), made, 2 * bar, 3);
    expect(positionAt(conductor, 2 * bar)).toMatchObject({ phase: 'bar', bar: 3 });
  });

  it('knows what still sounds, however often it is asked again before the first time has come', () => {
    // A key that is held asks ten times a second, and each answer begins where it can still be reached, 150 ms and more from now.
    const made = take('1 4 5', { countIn: 0 });
    const [sounds, first, second, third] = [bar + 10, bar + 500, bar + 900, bar + 1300];
    let conductor = flying(made, bar);
    for (const [step, tick] of [first, second, third].entries())
      conductor = retake(conductor, { ...made, share: 1 - step / 10 }, tick).conductor;
    expect(conductor.sent.map(({ startTick }) => startTick)).toStrictEqual([0, first, second, third]);
    expect(positionAt(conductor, sounds)).toMatchObject({ bar: 1, beat: 0 });
  });
});
