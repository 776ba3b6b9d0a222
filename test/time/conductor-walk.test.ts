import { describe, expect, it } from 'vitest';
import { begin, type Take } from '../../src/time/conductor.js';
import { loopLead } from '../../src/time/loop-lead.js';
import { bars as barsOf } from '../hand/charts.js';
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

  it('is not played after the last pass', () => {
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

  it('leads from the end of a loop to its beginning', () => {
    const written = '1 4 5 1';
    const bars = barsOf(written);
    const take = walking(written);
    const lead = (from: number, to: number) =>
      loopLead({ bars, score: take.score, walks: () => true }, { from, to });
    // The 4 that goes back to the 1 comes down: B A to G. It is where its bar is, and only the bass is another.
    const notes = lead(0, 2) ?? [];
    expect(notes.filter(({ voice }) => voice === 'bass').map(({ at, note }) => [at, note])).toStrictEqual([
      [3840, 36],
      [5760, 35],
      [6720, 33],
    ]);
    expect(notes.filter(({ voice }) => voice !== 'bass')).toStrictEqual(
      take.score.notes[1]?.filter(({ voice }) => voice !== 'bass'),
    );
    const looped = { ...take, passes: 2, range: { from: 0, to: 2 }, loopLead: notes };
    expect(bassOf(looped, 4)).toStrictEqual([
      [31, 33, 35],
      [36, 35, 33],
      [31, 33, 35],
      // After the last time there is nothing to lead to.
      [36, 31],
    ]);
    // One chord leads nowhere, nor does a loop from the 1 to the 1.
    expect([lead(0, 1), lead(0, 4)]).toStrictEqual([null, null]);
  });

  it('is not played in a bar that is left by a jump', () => {
    expect(bassOf({ ...walking('1 4 1 5'), leaves: 0 }, 4)[0]).toStrictEqual([31, 38]);
  });
});
