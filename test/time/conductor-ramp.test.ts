import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { begin, beginAt, positionAt, retake, shareAt, type Take } from '../../src/time/conductor.js';
import { type Segment, tickAt, timeAt } from '../../src/time/segment.js';
import { Rig, under } from '../player/music.js';
import { accents, anyTake, eventsOf, goOn, take } from './takes.js';

const bar = 3840;
const rising = { to: 2, bars: 4 };
const loop = (changes: Partial<Take> = {}, written = '1 4'): Take =>
  take(written, { passes: null, countIn: 0, ...changes });

/** Milliseconds a quarter lasts, bar by bar, in each segment: its length is where its last bar ends. */
function quarters(segment: Segment): number[] {
  const { tempoMap, skip, length } = segment;
  const bars = Math.ceil((skip + length) / bar) - Math.floor(skip / bar);
  return Array.from({ length: bars }, (_, index) => {
    const at = (Math.floor(skip / bar) + index) * bar;
    let ms = Number.NaN;
    for (let pair = 0; pair < tempoMap.length; pair += 2)
      if ((tempoMap[pair] as number) <= at) ms = tempoMap[pair + 1] as number;
    return Math.round(ms * 960 * 1e6) / 1e6;
  });
}

/** How long a quarter lasts at so many a minute. */
const quarterAt = (tempo: number): number => Math.round((60_000 / tempo) * 1e6) / 1e6;

describe('shareAt', () => {
  it.each([
    [0, 0.5],
    [1, 0.625],
    [2, 0.75],
    [3, 0.875],
    [4, 1],
    [5, 1],
    [1000, 1],
  ])('a rise from a half to the whole in four bars stands, behind %i bars, at %f', (before, share) => {
    expect(shareAt({ share: 0.5, ramp: { to: 1, bars: 4 } }, before)).toBeCloseTo(share, 12);
  });

  it('falls as well, and stays where there is no ramp', () => {
    expect(
      [0, 1, 2, 3].map((before) => shareAt({ share: 1, ramp: { to: 0.5, bars: 2 } }, before)),
    ).toStrictEqual([1, 0.75, 0.5, 0.5]);
    expect([0, 7].map((before) => shareAt({ share: 0.8 }, before))).toStrictEqual([0.8, 0.8]);
  });
});

describe('a ramp', () => {
  // At 120 a quarter lasts 500 ms.
  it('raises the tempo bar by bar, and leaves the rest at what it came to', () => {
    const [music] = begin(loop({ ramp: rising }, '1 4 5 1 4 5'), 0, 0).segments;
    expect(music && quarters(music)).toStrictEqual([120, 150, 180, 210, 240, 240].map(quarterAt));
  });

  it('lowers it as well', () => {
    const [music] = begin(loop({ ramp: { to: 0.5, bars: 2 } }, '1 4 5'), 0, 0).segments;
    expect(music && quarters(music)).toStrictEqual([120, 90, 60].map(quarterAt));
  });

  it('is a share of whatever tempo a bar has', () => {
    const [music] = begin(loop({ ramp: { to: 2, bars: 2 } }, '1 @tempo=60 4 5'), 0, 0).segments;
    expect(music && quarters(music)).toStrictEqual([120, 90, 120].map(quarterAt));
  });

  it('goes on over the passes of a loop, which repeats by itself when the tempo stays', () => {
    const { segments } = goOn(begin(loop({ ramp: rising }), 0, 0), 20 * bar);
    expect(segments.map(quarters)).toStrictEqual([
      [120, 150].map(quarterAt),
      [180, 210].map(quarterAt),
      [240, 240].map(quarterAt),
    ]);
    expect(segments.map((one) => one.onEnd)).toStrictEqual(['next', 'next', 'repeat']);
    expect([...(segments.at(-1)?.tempoMap ?? [])]).toHaveLength(2);
  });

  it.each([
    [1, ['next', 'repeat']],
    [2, ['next', 'repeat']],
    [3, ['next', 'next', 'repeat']],
    [5, ['next', 'next', 'next', 'repeat']],
  ])('over %i bars of a loop of two: never repeats a pass in which the tempo changes', (bars, ends) => {
    const { segments } = goOn(begin(loop({ ramp: { to: 2, bars } }), 0, 0), 40 * bar);
    expect(segments.map((one) => one.onEnd)).toStrictEqual(ends);
  });

  it('begins with the music: the bar of the count-in goes at the tempo it begins at', () => {
    const { segments } = begin(loop({ countIn: 1, ramp: rising }), 0, 0);
    expect(segments.slice(0, 2).map(quarters)).toStrictEqual(
      [[120], [120, 150]].map((one) => one.map(quarterAt)),
    );
  });

  it('begins at whatever bar the music begins', () => {
    const [first] = begin(loop({ ramp: rising }, '1 4 5 1'), 2, 0).segments;
    expect(first && quarters(first)).toStrictEqual([120, 150].map(quarterAt));
  });

  it('goes by the bars that were played, not by where they stand: a jump does not set it back', () => {
    const made = loop({ ramp: rising }, '1 4 5 1');
    const old = goOn(begin(made, 0, 0), 2 * bar);
    const [there] = retake(old.conductor, made, 2 * bar, 0).segments;
    expect(there && quarters(there)).toStrictEqual([180, 210, 240, 240].map(quarterAt));
  });

  it('never moves a bar line: every place is where it is without the ramp', () => {
    const ramp = fc.record({ to: fc.constantFrom(0.5, 1.1, 2), bars: fc.integer({ min: 1, max: 20 }) });
    fc.assert(
      fc.property(anyTake, ramp, fc.nat({ max: 90_000 }), (made, over, tick) => {
        const played = (of: Take) => goOn(begin(of, made.range?.from ?? 0, 0), tick);
        const [plain, ramped] = [played(made), played({ ...made, ramp: over })];
        expect(positionAt(ramped.conductor, tick)).toStrictEqual(positionAt(plain.conductor, tick));
        // What repeats by itself is sent once: as far as both are sent, they have the same bars at the same ticks.
        const known = plain.segments.flatMap(accents);
        expect(ramped.segments.flatMap(accents).slice(0, known.length)).toStrictEqual(known);
      }),
      { numRuns: 100 },
    );
  });

  it('put into the music in flight keeps its place, and rises from the bar it stands in', () => {
    const tick = 2 * bar + 1000;
    const plain = loop({}, '1 4 5 1');
    const old = goOn(begin(plain, 0, 0), tick);
    const { segments, conductor } = retake(old.conductor, { ...plain, ramp: rising }, tick);
    expect(segments[0]).toMatchObject({ startTick: tick, skip: 1000, length: 2 * bar - 1000 });
    expect(positionAt(conductor, tick)).toStrictEqual(positionAt(old.conductor, tick));
    // Two bars were played before: the third and fourth bars of the rise.
    expect(segments[0] && quarters(segments[0])).toStrictEqual([180, 210].map(quarterAt));
  });

  it('taken out in flight leaves the place, and the tempo is the plain one from there', () => {
    const made = loop({ ramp: rising }, '1 4 5 1');
    const old = goOn(begin(made, 0, 0), bar + 500);
    const { segments, conductor } = retake(old.conductor, loop({}, '1 4 5 1'), bar + 500);
    expect(positionAt(conductor, bar + 500)).toStrictEqual(positionAt(old.conductor, bar + 500));
    expect(segments[0] && quarters(segments[0])).toStrictEqual([120, 120, 120].map(quarterAt));
  });

  it('keeps what it came to when the same take goes on in flight', () => {
    const made = loop({ ramp: rising }, '1 4 5 1');
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 12 * bar }), (tick) => {
        const old = goOn(begin(made, 0, 0), tick);
        const taken = retake(old.conductor, made, tick);
        const played = Math.floor(tick / bar);
        expect(taken.segments[0] && quarters(taken.segments[0])[0]).toBe(
          quarterAt(120 * Math.min(2, 1 + played / 4)),
        );
        expect(positionAt(taken.conductor, tick)).toStrictEqual(positionAt(old.conductor, tick));
      }),
      { numRuns: 60 },
    );
  });
});

describe('a ramp as it is played', () => {
  /** When the accented clicks were sent, ms from the first. */
  const accented = (rig: Rig): number[] => {
    const all = rig.output.ons.filter(({ status, note }) => status === 0x99 && note === 76);
    return all.map(({ time }) => time - (all[0]?.time as number));
  };

  // Four quarters at 120, 150, 180 and 210 a minute last 2000, 1600, 1333.3 and 1142.9 ms; at 240 a second.
  it('has every bar line where the bars before it end', () => {
    const rig = new Rig();
    rig.play(goOn(begin(loop({ ramp: rising }), 0, 0), 20 * bar).segments);
    rig.host.advance((rig.spans[0]?.time as number) + 9000);
    const lines = [0, 2000, 3600, 3600 + 4000 / 3, 3600 + 4000 / 3 + 8000 / 7];
    const steady = [1, 2].map((more) => (lines[4] as number) + more * 1000);
    accented(rig).forEach((time, index) => {
      expect(time).toBeCloseTo([...lines, ...steady][index] ?? Number.NaN, 6);
    });
    expect(accented(rig)).toHaveLength(7);
    expect(rig.spans.at(-1)?.msPerTick).toBeCloseTo(250 / 960, 9);
  });

  it('put into the music in flight leaves every tick before it, and itself, where they were', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 9000 }), fc.constantFrom(0.5, 1.5, 2), (ms, to) => {
        const made = loop({}, '1 4 5 1');
        const { rig, conductor } = under(made, ms);
        const tick = Math.ceil(tickAt(rig.spans, rig.host.now() + 25));
        const before = timeAt(rig.spans, tick);
        const fed = goOn({ conductor, segments: [] }, tick).conductor;
        rig.loop.replace(tick, retake(fed, { ...made, ramp: { to, bars: 8 } }, tick).segments);
        expect(timeAt(rig.spans, tick)).toBeCloseTo(before, 6);
        rig.host.advance(before + 5000);
        // At whatever tempo, the accents are sent on the bar lines.
        const lines = rig.ticks.filter((_, index) => {
          const { status = 0, note = 0 } = rig.output.sent[index] ?? {};
          return status === 0x99 && note === 76;
        });
        expect(lines.length).toBeGreaterThan(1);
        expect(lines.map(Math.round)).toStrictEqual(lines.map((_, index) => index * bar));
      }),
      { numRuns: 40 },
    );
  });
});

describe('beginAt', () => {
  const tick = 777;

  it.each([
    ['the start', 0, 1, 0, 0],
    ['the second bar', bar, 1, 1, 0],
    ['within a bar', bar + 1160, 1, 1, 1160],
    ['the last moment of a pass', 3 * bar - 1, 1, 2, bar - 1],
    ['the second pass', 3 * bar, 2, 0, 0],
    ['within the fourth pass', 10 * bar + 480, 4, 1, 480],
  ])('begins at %s', (_, song, pass, index, into) => {
    const { segments, conductor } = beginAt(loop({}, '1 4 5'), song, tick);
    expect(segments[0]).toMatchObject({ id: 1, startTick: tick, skip: into, jump: true, song: index * bar });
    const beat = Math.floor(into / 960);
    expect(positionAt(conductor, tick)).toStrictEqual({
      phase: 'bar',
      pass,
      bar: index,
      beat,
      into: (into - beat * 960) / 960,
      ticksLeft: (beat + 1) * 960 - into,
    });
  });

  it('counts in nothing, and goes on to the end of the pass before it repeats', () => {
    const { segments } = goOn(beginAt(loop({ countIn: 2 }, '1 4 5'), bar + 480, 0), 20 * bar);
    expect(segments.map((one) => [one.song, one.length, one.onEnd, one.jump])).toStrictEqual([
      [bar, 2 * bar - 480, 'next', true],
      [0, 3 * bar, 'repeat', false],
    ]);
  });

  it('strikes nothing that lies before the place', () => {
    const [first] = beginAt(loop({}, '1 4'), 1000, 0).segments;
    const clicks = first ? eventsOf(first).filter(({ channel }) => channel === 9) : [];
    // The first beat after tick 1000 of the bar is its third, at 1920.
    expect(clicks.map((one) => one.tick)).toStrictEqual([920, 1880, 2840, 3800, 4760, 5720]);
  });

  it('plays as many passes as are left', () => {
    const { segments, conductor } = goOn(beginAt(loop({ passes: 3 }, '1 4'), 2 * bar + 100, 0), 20 * bar);
    expect(segments.map((one) => [one.length, one.onEnd])).toStrictEqual([
      [2 * bar - 100, 'next'],
      [2 * bar, 'stop'],
    ]);
    expect(positionAt(conductor, 2 * bar)).toMatchObject({ pass: 3, bar: 0 });
  });

  it('takes a loop for the song: places count from its start', () => {
    const made = loop({ range: { from: 1, to: 3 } }, '1 4 5 1');
    const places = [0, bar, 2 * bar, 5 * bar + 10].map((song) => {
      const { conductor } = beginAt(made, song, 0);
      const { pass, bar: index } = positionAt(conductor, 0);
      return [pass, index];
    });
    expect(places).toStrictEqual([
      [1, 1],
      [1, 2],
      [2, 1],
      [3, 2],
    ]);
  });

  it('is as far up a ramp as if it had been played until there', () => {
    const [first] = beginAt(loop({ ramp: rising }, '1 4'), 2 * bar, 0).segments;
    expect(first && quarters(first)).toStrictEqual([180, 210].map(quarterAt));
  });

  it('gives its segments numbers from the one that is named', () => {
    const { segments } = goOn(beginAt(loop({}, '1 4'), 480, 0, 42), 10 * bar);
    expect(segments.map((one) => one.id)).toStrictEqual([42, 43]);
  });

  it('stands where playing from the start comes to, whatever is played', () => {
    const endless = anyTake.map((made): Take => ({ ...made, passes: null, countIn: 0 }));
    fc.assert(
      fc.property(endless, fc.nat({ max: 90_000 }), fc.nat({ max: 20_000 }), (made, song, later) => {
        const there = positionAt(goOn(beginAt(made, song, tick), tick + later).conductor, tick + later);
        const played = goOn(begin(made, made.range?.from ?? 0, 0), song + later).conductor;
        expect(there).toStrictEqual(positionAt(played, song + later));
      }),
      { numRuns: 100 },
    );
  });
});
