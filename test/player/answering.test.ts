import { describe, expect, it } from 'vitest';
import { Answering, lookMs } from '../../src/player/answering.js';

/** Looks at the usual distance; answers after how many the player was given up, `null` when it was not. */
function looks(answering: Answering, count: number, from = 0): number | null {
  for (let look = 1; look <= count; look += 1) if (answering.look(from + look * lookMs)) return look;
  return null;
}

describe('a player that is asked whether it lives', () => {
  it('is given up after seven seconds of silence', () => {
    const answering = new Answering();
    answering.done();
    expect(looks(answering, 60)).toBe(8);
  });

  it('is not while it says anything at all', () => {
    const answering = new Answering();
    answering.done();
    for (let round = 0; round < 20; round += 1) {
      expect(looks(answering, 6, round * 6 * lookMs)).toBeNull();
      answering.heard();
    }
  });

  it('is given longer while it opens an output', () => {
    const answering = new Answering();
    expect(looks(answering, 60)).toBe(21);
    const opened = new Answering();
    opened.done();
    opened.asked();
    expect(looks(opened, 20)).toBeNull();
  });

  it('is not given up by somebody who was stopped himself', () => {
    const answering = new Answering();
    answering.done();
    expect(looks(answering, 7)).toBeNull();
    // The lid was closed for an hour.
    expect(answering.look(3_600_000)).toBe(false);
    expect(looks(answering, 7, 3_600_000)).toBeNull();
  });
});
