/** How alike a sound and what was heard must be, as a normalised correlation: a room changes a click a lot, but not below this. */
const alike = 0.5;

/**
 * Where in what was heard a known sound begins, in samples and parts of one: where both are most alike (a matched filter). `null` when nothing in it is
 * like the sound. `heard` is no shorter than a millisecond longer than the sound, else its end is looked for without it.
 */
export function soundPlace(heard: Float32Array, sound: Float32Array): number | null {
  return likeSound(heard, sound)?.place ?? null;
}

/** The same, with how alike both are there, from 0.5 to 1. */
export function likeSound(
  heard: Float32Array,
  sound: Float32Array,
): { readonly place: number; readonly likeness: number } | null {
  // What fades at the end of a sound says little of where it begins.
  const length = Math.min(sound.length, heard.length >> 1);
  const lags = heard.length - length + 1;
  let power = 0;
  for (let at = 0; at < length; at += 1) power += (sound[at] as number) ** 2;
  const values = new Float64Array(Math.max(0, lags));
  for (let lag = 0; lag < lags; lag += 1) {
    let [product, own] = [0, 0];
    for (let at = 0; at < length; at += 1) {
      const sample = heard[lag + at] as number;
      product += sample * (sound[at] as number);
      own += sample * sample;
    }
    // A loudspeaker or a microphone may turn the wave over.
    values[lag] = own > 0 ? Math.abs(product) / Math.sqrt(own * power) : 0;
  }
  let best = 0;
  values.forEach((value, lag) => {
    if (value > (values[best] as number)) best = lag;
  });
  const peak = values[best] ?? 0;
  if (!(peak >= alike)) return null;
  const [before, after] = [values[best - 1] ?? peak, values[best + 1] ?? peak];
  const bend = before - 2 * peak + after;
  return { place: best + (bend < 0 ? (before - after) / (2 * bend) : 0), likeness: peak };
}
