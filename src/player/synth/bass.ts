import { addBody, type Resonance } from './body.js';
import { addStrike, fadeOut, setPeak } from './strike.js';
import { addString } from './string.js';

const peak = 0.52;
/** A large body: its air and its top, and the board that the string is stopped on. */
const air: Resonance = { hertz: 95, sharpness: 2.5, level: 0.6 };
const board: Resonance = { hertz: 220, sharpness: 4, level: 0.35 };
/** How far up a stroke reaches by its strength, hertz. */
const bandwidths: readonly number[] = [350, 500, 700, 1000];

/** A plucked double bass: one thick string, a soft fingertip, a large body. `strength` 0–3. */
export function bassString(rate: number, hertz: number, strength: number): Float32Array<ArrayBuffer> {
  const seconds = Math.min(2, 1.6 * (55 / hertz) ** 0.5);
  const samples = new Float32Array(Math.round(rate * seconds));
  addString(
    samples,
    rate,
    {
      hertz,
      decay: { seconds, highSeconds: seconds / 6, high: 800 },
      place: 0.25,
      roughness: 0.1,
      bandwidths: [2000, bandwidths[strength] as number],
      seed: 5,
    },
    1,
  );
  addStrike(samples, rate, { above: 600, seconds: 0.02, level: 0.12 }, Math.round(hertz));
  addBody(samples, rate, air, board);
  fadeOut(samples, samples.length - Math.round(rate * 0.1), 20);
  setPeak(samples, peak);
  return samples;
}
