import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SampleClock } from '../../src/listen/sample-clock.js';
import { seeded } from './seeded.js';

/** A sound card as it could be: `ppm` faster than its name, pieces `piece` ms long, each late by `jitter` ms in the mean. */
interface Card {
  readonly rate: number;
  readonly ppm: number;
  readonly piece: number;
  readonly jitter: number;
  /** The system stops for so many ms, once in so many seconds in the mean. */
  readonly stall: number;
  readonly stallEvery: number;
  /** Sound is lost: at a second of the clock, so many ms of it. */
  readonly losses: readonly { readonly second: number; readonly ms: number }[];
  readonly seed: number;
}

/** Plays a card for so many seconds; answers the errors of the times told after each piece, ms, where they should be right. */
function errors(card: Card, seconds: number): { errors: number[]; clock: SampleClock } {
  const random = seeded(card.seed);
  const clock = new SampleClock(card.rate);
  const size = Math.max(1, Math.round((card.piece * card.rate) / 1000));
  const msASample = 1000 / (card.rate * (1 + card.ppm * 1e-6));
  const found: number[] = [];
  let begin = 5_000_000.25;
  let samples = 0;
  let busyUntil = 0;
  let arrival = 0;
  let settled = begin + 5000;
  const losses = [...card.losses];
  while ((samples * card.piece) / size < 1000 * seconds) {
    const next = losses[0];
    if (next && samples * msASample >= 1000 * next.second) {
      begin += next.ms;
      settled = Math.max(settled, begin + samples * msASample + 2500);
      losses.shift();
    }
    samples += size;
    const due = begin + samples * msASample;
    if (random() < card.piece / 1000 / card.stallEvery) busyUntil = Math.max(busyUntil, due + card.stall);
    // Pieces never overtake each other.
    arrival = Math.max(arrival, due - card.jitter * Math.log(1 - random()), busyUntil);
    clock.arrived(size, arrival);
    // A stroke is told of up to 600 ms after it sounded.
    if (arrival > settled)
      for (const back of [0, 0.6])
        found.push((clock.at(samples - back * card.rate) as number) - (due - 1000 * back));
  }
  return { errors: found, clock };
}

/** The error that 99 of 100 do not exceed, ms. */
function p99(values: readonly number[]): number {
  return [...values].map(Math.abs).sort((one, other) => one - other)[
    Math.floor(0.99 * values.length)
  ] as number;
}

const cards = fc.record({
  rate: fc.constantFrom(16_000, 22_050, 44_100, 48_000, 96_000),
  ppm: fc.double({ min: -100, max: 100, noNaN: true }),
  piece: fc.double({ min: 3, max: 25, noNaN: true }),
  jitter: fc.double({ min: 0, max: 4, noNaN: true }),
  stall: fc.double({ min: 0, max: 250, noNaN: true }),
  stallEvery: fc.double({ min: 2, max: 60, noNaN: true }),
  seed: fc.integer(),
});

describe('SampleClock', () => {
  it('tells the time of a sample within 1 ms, 99 times of 100, whatever the card', () => {
    fc.assert(
      fc.property(cards, (card) => {
        expect(p99(errors({ ...card, losses: [] }, 40).errors)).toBeLessThan(1);
      }),
      { numRuns: 25 },
    );
  });

  it('does so again two and a half seconds after sound was lost, which it notices', () => {
    const losses = fc
      .array(
        fc.record({
          second: fc.double({ min: 12, max: 55, noNaN: true }),
          ms: fc.double({ min: 15, max: 700, noNaN: true }),
        }),
        { minLength: 1, maxLength: 4 },
      )
      .map((all) => all.sort((one, other) => one.second - other.second))
      .filter((all) => all.every((one, at) => at === 0 || one.second - (all[at - 1]?.second ?? 0) > 4));
    fc.assert(
      fc.property(cards, losses, (card, lost) => {
        const { errors: found, clock } = errors({ ...card, losses: lost }, 60);
        expect(clock.gaps).toBeGreaterThanOrEqual(lost.length);
        expect(p99(found)).toBeLessThan(1);
      }),
      { numRuns: 25 },
    );
  });

  it('keeps the times of what sounded before a loss, and says where it was', () => {
    const clock = new SampleClock(48_000);
    const at = (sample: number): number => 1000 + sample / 48 + (sample > 20 * 48_000 ? 200 : 0);
    let told = Number.NEGATIVE_INFINITY;
    for (let count = 480; count <= 21 * 48_000; count += 480) {
      clock.arrived(480, at(count) + (count % 1440) / 480);
      if (clock.gaps === 1 && told < 0) told = count / 48_000;
    }
    expect(told).toBeCloseTo(20.6, 1);
    expect(clock.lastLoss).toBe(20 * 48_000);
    expect(clock.at(19.9 * 48_000)).toBeCloseTo(at(19.9 * 48_000), 1);
    expect(clock.at(20.1 * 48_000)).toBeCloseTo(at(20.1 * 48_000), 1);
  });

  it('finds a loss sooner where the source said that there was one', () => {
    const clock = new SampleClock(48_000);
    let noticed = 0;
    for (let count = 480; count <= 21 * 48_000 && noticed === 0; count += 480) {
      clock.arrived(480, count / 48 + (count > 20 * 48_000 ? 200 : 0));
      if (count === 20 * 48_000) clock.mayHaveLost();
      if (clock.gaps > 0) noticed = count / 48_000;
    }
    expect(noticed).toBeCloseTo(20.17, 1);
  });

  it('is not led astray by a system that stops and catches up', () => {
    const clock = new SampleClock(48_000);
    for (let count = 480; count <= 12 * 48_000; count += 480) {
      // Nothing arrives for two seconds, then all of it at once.
      const due = count / 48;
      clock.arrived(480, due > 8000 && due < 10_000 ? 10_000 : due);
    }
    expect(clock.gaps).toBe(0);
    expect(clock.at(9 * 48_000)).toBeCloseTo(9000, 1);
  });

  it('answers the sample of a time, the other way round', () => {
    const clock = new SampleClock(44_100);
    expect([clock.at(0), clock.sampleAt(0)]).toStrictEqual([null, null]);
    for (let count = 441; count <= 20 * 44_100; count += 441)
      clock.arrived(441, 500 + (count / 44.1) * (1 + 80e-6));
    const ahead = clock.at(21 * 44_100) as number;
    expect(clock.sampleAt(ahead)).toBeCloseTo(21 * 44_100, 3);
    expect(clock.drift).toBeCloseTo(-80, 0);
  });
});
