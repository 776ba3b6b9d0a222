import { describe, expect, it } from 'vitest';
import { begin, type Take } from '../../src/time/conductor.js';
import { score } from './scores.js';
import { eventsOf, goOn } from './takes.js';

const walking = (written: string): Take => ({
  score: score(written, {}, { walks: () => true }),
  passes: 1,
  share: 1,
  countIn: 0,
});

/** The bass notes of a take by bar of four, up to a number of bars. */
function bassOf(take: Take, bars: number): number[][] {
  const { segments } = goOn(begin(take, take.range?.from ?? 0, 0), bars * 3840);
  const found: number[][] = Array.from({ length: bars }, () => []);
  for (const { tick, note, channel } of segments.flatMap(eventsOf))
    if (channel === 2 && tick < bars * 3840) found[Math.floor(tick / 3840)]?.push(note);
  return found;
}

// G 31, A 33, B 35, C 36; from D 38 back to G: E 28, F♯ 30.
describe('a run where the music goes elsewhere', () => {
  it('is played where the pass goes on as written, and into the next pass', () => {
    expect(bassOf({ ...walking('1 4 1 5'), passes: 2 }, 5)[0]).toStrictEqual([31, 33, 35]);
    expect(bassOf({ ...walking('1 4 1 5'), passes: 2 }, 5)[3]).toStrictEqual([38, 28, 30]);
  });

  it('is not played behind the last pass', () => {
    expect(bassOf(walking('1 4 1 5'), 4)[3]).toStrictEqual([38, 33]);
    expect(bassOf({ ...walking('1 4 1 5'), passes: null }, 4)[3]).toStrictEqual([38, 28, 30]);
  });

  it('is not played at the end of a loop that goes back', () => {
    // Bars 1 to 3 again and again: the third leads to no 5.
    const looped = bassOf({ ...walking('1 4 1 5'), passes: null, range: { from: 0, to: 3 } }, 3);
    expect([looped[0], looped[2]]).toStrictEqual([
      [31, 33, 35],
      [31, 38],
    ]);
  });

  it('is not played in a bar that is left by a jump', () => {
    expect(bassOf({ ...walking('1 4 1 5'), leaves: 0 }, 4)[0]).toStrictEqual([31, 38]);
  });
});
