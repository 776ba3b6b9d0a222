import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stringLoop } from '../../../src/player/synth/loop.js';

/** What one turn of a loop does to a frequency: how many samples it delays, and how much it keeps. By complex arithmetic. */
function turn(loop: ReturnType<typeof stringLoop>, radians: number): { delay: number; kept: number } {
  // Lowpass: keep (1 − p) / (1 − p z⁻¹); allpass: (C + z⁻¹) / (1 + C z⁻¹).
  const [cos, sin] = [Math.cos(radians), -Math.sin(radians)];
  const { pole, tuning, keep, line } = loop;
  const lowpass = -Math.atan2(-pole * sin, 1 - pole * cos);
  const allpass = Math.atan2(sin, tuning + cos) - Math.atan2(tuning * sin, 1 + tuning * cos);
  return {
    delay: line - (lowpass + allpass) / radians,
    kept: (keep * (1 - pole)) / Math.hypot(1 - pole * cos, pole * sin),
  };
}

describe('stringLoop', () => {
  const decay = { seconds: 1.5, highSeconds: 0.3, high: 3000 };

  it('delays its fundamental by exactly a period, and keeps what the decay asks for', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(22_050, 44_100, 48_000, 96_000),
        fc.double({ min: 40, max: 2200, noNaN: true }),
        (rate, hertz) => {
          const loop = stringLoop(rate, hertz, decay);
          const { delay, kept } = turn(loop, (2 * Math.PI * hertz) / rate);
          expect(1200 * Math.abs(Math.log2(delay / (rate / hertz)))).toBeLessThan(0.01);
          // 60 dB in so many turns as there are periods in that time.
          expect(kept).toBeCloseTo(10 ** (-3 / (hertz * decay.seconds)), 4);
        },
      ),
    );
  });

  it('lets high partials fall sooner, as far as asked', () => {
    const loop = stringLoop(48_000, 196, decay);
    const { kept } = turn(loop, (2 * Math.PI * 3000) / 48_000);
    expect(kept).toBeCloseTo(10 ** (-3 / (196 * decay.highSeconds)), 5);
  });

  it('never grows at any frequency', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 28, max: 4000, noNaN: true }),
        fc.double({ min: 0.05, max: 20, noNaN: true }),
        fc.double({ min: 0, max: Math.PI, noNaN: true }),
        (hertz, seconds, radians) => {
          const loop = stringLoop(44_100, hertz, { seconds, highSeconds: seconds / 2, high: 3000 });
          expect(turn(loop, radians).kept).toBeLessThan(1);
          expect(Math.abs(loop.tuning)).toBeLessThan(1);
          expect(loop.line).toBeGreaterThan(0);
        },
      ),
    );
  });
});
