/** How far round a rough place the attack is looked for, seconds. */
const reach = 0.022;
/** The window over which energy is smoothed, seconds. */
const smooth = Number(process.env.SM ?? 0.003);
/** The place is where the energy has come so far from its floor to its peak. */
const crossing = Number(process.env.CR ?? 0.25);

/**
 * The sample at which a stroke begins, looked for round a rough place: where the energy of the sound, its low frequencies weakened by
 * taking differences and its hiss by adding neighbours, crosses a quarter of the way from the floor before to its peak.
 */
export function attackAt(samples: Float32Array, rough: number, rate: number): number {
  const width = Math.round(smooth * rate);
  const from = Math.max(8, Math.round(rough - reach * rate));
  const to = Math.min(samples.length - width, Math.round(rough + reach * rate));
  const span = Math.max(2, Math.round(rate / 11_000));
  // The difference between the sums of neighbouring runs of samples: a band round a few kilohertz.
  const energy = new Float64Array(Math.max(0, to - from) + width + 1);
  for (let index = 0; index < energy.length - 1; index += 1) {
    let step = 0;
    for (let tap = 0; tap < span; tap += 1)
      step += (samples[from + index - tap] ?? 0) - (samples[from + index - tap - span] ?? 0);
    energy[index + 1] = (energy[index] as number) + step * step;
  }
  const at = (index: number): number => (energy[index + width] as number) - (energy[index] as number);
  let peak = 0;
  for (let index = 0; index < to - from; index += 1) if (at(index) > at(peak)) peak = index;
  let floor = peak;
  for (let index = peak; index >= 0; index -= 1) if (at(index) < at(floor)) floor = index;
  const level = at(floor) + crossing * (at(peak) - at(floor));
  let place = peak;
  while (place > floor && at(place - 1) >= level) place -= 1;
  return from + place + width;
}
