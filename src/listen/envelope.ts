/** Energy is averaged over this long, at places this far apart, seconds. */
const window = 0.008;
const step = 0.002;
/** Hum and handling lie below this, Hz. */
const above = 150;

/** The power of a stretch of sound without its lowest frequencies, every two milliseconds. */
export function envelope(samples: Float32Array, rate: number): { power: Float64Array; stepMs: number } {
  const sums = new Float64Array(samples.length + 1);
  const pole = 1 - Math.exp((-2 * Math.PI * above) / rate);
  let low = 0;
  for (let index = 0; index < samples.length; index += 1) {
    low += pole * ((samples[index] as number) - low);
    sums[index + 1] = (sums[index] as number) + ((samples[index] as number) - low) ** 2;
  }
  const half = Math.max(1, Math.round((window * rate) / 2));
  const count = Math.max(0, Math.floor(samples.length / (step * rate)));
  const power = Float64Array.from({ length: count }, (_, place) => {
    const centre = Math.round(place * step * rate);
    const [from, to] = [Math.max(0, centre - half), Math.min(samples.length, centre + half)];
    return ((sums[to] as number) - (sums[from] as number)) / Math.max(1, to - from);
  });
  return { power, stepMs: 1000 * step };
}

/** A stroke has rung when its power has fallen this far below its peak: 10 dB, half as loud (Stevens, The measurement of loudness, 1955). */
export const ringFall = 10;
/** The peak lies this soon after the attack, ms. */
const peakWithin = 40;

/**
 * How long a stroke rings: ms from its attack, with which `power` begins, until its power has fallen by `ringFall` for good;
 * `floor` is the power of the room's noise. Null when it had not when the sound ended, or when noise hides it.
 */
export function ringMs(power: Float64Array, stepMs: number, floor: number): number | null {
  let peak = 0;
  for (let place = 0; place * stepMs <= peakWithin && place < power.length; place += 1)
    peak = Math.max(peak, (power[place] as number) - floor);
  const limit = peak * 10 ** (-ringFall / 10);
  // The noise comes and goes: a limit not well above it would be crossed by the noise alone.
  if (peak <= 0 || limit < 0.5 * floor) return null;
  // Notes that beat swell again a little: they count as over as long as they stay below this.
  const again = limit * 2;
  let last = power.length - 1;
  while (last >= 0 && (power[last] as number) - floor < again) last -= 1;
  let place = last + 1;
  while (place < power.length && (power[place] as number) - floor >= limit) place += 1;
  return place >= power.length ? null : place * stepMs;
}
