import { seeded } from './seeded.js';

/** Normal numbers, the same for the same seed. */
export function normals(seed: number): () => number {
  const random = seeded(seed);
  return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** White noise so many decibels below the sound where it sounds, mixed in. */
export function withNoise(samples: Float32Array, decibels: number, seed: number): Float32Array {
  const sounding = samples.filter((sample) => Math.abs(sample) > 0.003);
  const power = sounding.reduce((sum, sample) => sum + sample * sample, 0) / sounding.length;
  const level = Math.sqrt(power) * 10 ** (-decibels / 20);
  const normal = normals(seed);
  return samples.map((sample) => sample + level * normal());
}

/** A room: a small loudspeaker without bass, a few echoes and a short tail of them, as an impulse response. */
export function smallRoom(rate: number, seed: number): Float32Array {
  const random = seeded(seed);
  const response = new Float32Array(Math.round(0.03 * rate));
  const first = Math.round(0.0013 * rate);
  response[first] = 1;
  response[first + 1] = -0.6;
  for (let echo = 0; echo < 10; echo += 1) {
    const at = first + 2 + Math.floor(random() * 0.02 * rate);
    response[at] = (response[at] as number) + 0.6 * (random() - 0.5);
  }
  for (let at = first + 2; at < response.length; at += 1)
    response[at] = (response[at] as number) + 0.05 * (random() - 0.5) * Math.exp(-at / (0.008 * rate));
  return response;
}

/** A sound as it is heard by way of a room. */
export function through(sound: Float32Array, room: Float32Array): Float32Array {
  const heard = new Float32Array(sound.length + room.length);
  room.forEach((share, delay) => {
    if (share !== 0)
      for (let at = 0; at < sound.length; at += 1)
        heard[at + delay] = (heard[at + delay] as number) + share * (sound[at] as number);
  });
  return heard;
}

/** Adds a sound into samples from a sample on, which may be one before the first, so many times as strong. */
export function mixIn(samples: Float32Array, sound: Float32Array, from: number, gain: number): void {
  for (let at = Math.max(0, -from); at < sound.length && from + at < samples.length; at += 1)
    samples[from + at] = (samples[from + at] as number) + gain * (sound[at] as number);
}

/** The level that half of the loudest samples of each half second lie below. */
export function usualPeak(samples: Float32Array, rate: number): number {
  const size = Math.round(rate / 2);
  const peaks: number[] = [];
  for (let from = 0; from < samples.length; from += size)
    peaks.push(
      samples.subarray(from, from + size).reduce((most, sample) => Math.max(most, Math.abs(sample)), 0),
    );
  return peaks.sort((one, other) => one - other)[peaks.length >> 1] ?? 0;
}
