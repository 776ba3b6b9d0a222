import { afterAll, describe, expect, it } from 'vitest';
import { freshFolder } from './harness.js';

interface Calibrated {
  readonly samples: number;
  readonly said: string;
  readonly ms: number;
  readonly spreadMs: number;
  readonly heard: number;
}
// Shared with the bench, which does ten: plain JavaScript, without types.
const { calibrationsInGuest, wayRate } = (await import('./calibrations-in-guest.mjs' as string)) as {
  calibrationsInGuest: (delays: readonly number[], folder: string) => Promise<readonly Calibrated[]>;
  wayRate: number;
};
const { guestIsHere } = (await import('./steady-guest.mjs' as string)) as { guestIsHere: boolean };

const folder = freshFolder();
afterAll(() => folder.remove());
/** Samples that a relay holds back between the output and the microphone; without any, the way itself is measured. `npm run bench -- calibration` tries ten. */
const delays = [0, 977];

if (!guestIsHere) console.log('left out: calibration through a sound card needs shared/rig/alsa-guest');

describe.runIf(guestIsHere)('calibrating through a sound card', () => {
  it('finds delays that were put into the way within 2 ms', { timeout: 1_500_000 }, async () => {
    const [way, ...others] = await calibrationsInGuest(delays, folder.path);
    expect(way?.said).toContain('status 0');
    expect(way?.heard).toBeGreaterThanOrEqual(14);
    for (const { samples, ms, heard, said } of others) {
      expect(said).toContain('It is kept for this output and this microphone.');
      expect(heard).toBeGreaterThanOrEqual(14);
      expect(Math.abs(ms - (way as Calibrated).ms - (1000 * samples) / wayRate)).toBeLessThan(2);
    }
  });
});
