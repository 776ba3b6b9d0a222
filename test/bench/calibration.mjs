// npm run bench -- calibration: how exactly delays are found that are put into the way between a sound card and a microphone of an
// emulated machine. It takes a quarter of an hour on an idle machine, and hours on a busy one.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { calibrationsInGuest, wayRate } from '../e2e/calibrations-in-guest.mjs';
import { guestIsHere } from '../e2e/steady-guest.mjs';

/** The goal, ms. */
const goal = 2;
/** Delays, samples: what comes first is the way itself. */
const delays = [0, 101, 480, 977, 2003, 3301, 4800, 7211, 9601, 12_007, 15_013];

export async function benchCalibration() {
  if (!guestIsHere) {
    console.log('left out: the emulated machine with sound cards is not here');
    return { delays: 0 };
  }
  const folder = mkdtempSync(join(tmpdir(), 'calibrations-'));
  try {
    const [way, ...others] = await calibrationsInGuest(delays, folder);
    const rows = others.map(({ samples, ms, spreadMs, heard }) => {
      const put = (1000 * samples) / wayRate;
      const found = ms - way.ms;
      return { put, found, error: found - put, spreadMs, heard };
    });
    console.log(`the way itself: ${way.ms} ms, spread ${way.spreadMs} ms`);
    console.table(
      rows.map((row) =>
        Object.fromEntries(Object.entries(row).map(([name, value]) => [name, Math.round(100 * value) / 100])),
      ),
    );
    const worst = Math.max(...rows.map(({ error }) => Math.abs(error)));
    const within = rows.filter(({ error }) => Math.abs(error) <= goal).length;
    console.log(`within ${goal} ms: ${within} of ${rows.length}; the worst is ${worst.toFixed(2)} ms off`);
    return { within, worst };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
