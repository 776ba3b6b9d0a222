import { describe, expect, it } from 'vitest';
import { toldOf } from '../../src/commands/calibrate/tell.js';
import { unheard } from '../../src/commands/calibrate/unheard.js';

const trip = { ms: 104.46, spreadMs: 1.23, driftMs: 0.4, overMs: 15_000, heard: 16, made: 16 };

describe('what a calibration says', () => {
  it('is round trip and spread, and drift only where it is more than chance', () => {
    expect(toldOf(trip, 'built-in sound', 'default', false)).toStrictEqual([
      'round trip 104.5 ms, spread 1.2 ms (16 of 16 clicks), from built-in sound to default',
    ]);
    expect(toldOf({ ...trip, driftMs: -7.5 }, 'built-in sound', 'default', false)[1]).toBe(
      'it shrinks by 7.5 ms in a minute',
    );
  });

  it('is spread and drift of a hand with headphones, over the beats it played, and no lead', () => {
    const lines = toldOf({ ...trip, spreadMs: 9, driftMs: -40, overMs: 9000 }, 'USB', 'Pod', true);
    expect(lines[0]).toBe(
      '16 of 16 beats were heard: spread 9.0 ms, 6.0 ms earlier at the end than at the beginning, from USB to Pod',
    );
    expect(lines[1]).toContain('not by an absolute offset');
  });

  it.each([
    [{ headphones: true, silent: true }, 1, 'too few chops were heard with the clicks'],
    [{ headphones: false, silent: true }, 3, 'no sound comes from the microphone'],
    [{ headphones: false, silent: false }, 3, 'the microphone does not hear the clicks'],
  ])('is what is wrong where nothing was heard: %o', (heard, status, sentence) => {
    expect(unheard(heard)).toMatchObject({ status, message: sentence });
  });
});
