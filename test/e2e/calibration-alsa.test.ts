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
/** Samples that a relay holds back between the output and the microphone. How exactly ten such are found says `npm run bench -- calibration`, at length. */
const delay = 977;

if (!guestIsHere) console.log('left out: calibration through a sound card needs shared/rig/alsa-guest');

describe.runIf(guestIsHere)('calibrating through a sound card', () => {
  it('hears the clicks evenly, no sooner than the way lets them come', { timeout: 900_000 }, async () => {
    const [found] = await calibrationsInGuest([delay], folder.path);
    expect(found?.said).toContain('It is kept for this output and this microphone.');
    expect(found?.said).toContain('status 0');
    expect(found?.heard).toBeGreaterThanOrEqual(14);
    expect(found?.spreadMs).toBeLessThan(2);
    expect(found?.ms).toBeGreaterThan((1000 * delay) / wayRate);
  });
});
