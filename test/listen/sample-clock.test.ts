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
      settled = Math.max(settled, begin + samples * msASample + 2000);
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
  stall: fc.double({ min: 0, max: 400, noNaN: true }),
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

  it('does so again two seconds after sound was lost, which it notices', () => {
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
});
