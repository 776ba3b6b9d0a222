/** The samples of the built-in sound. All pure: from numbers to samples. */

/** Frequency of a MIDI note in hertz, A4 = 440. */
export function noteHertz(note: number): number {
  return 440 * 2 ** ((note - 69) / 12);
}

/** A click: a short, high, quickly fading tone with a little noise at its start. Peak at most 1. */
export function clickSamples(rate: number, hertz: number): Float32Array<ArrayBuffer> {
  const samples = new Float32Array(Math.round(rate * 0.03));
  const noise = noiseSource(hertz);
  for (let index = 0; index < samples.length; index += 1) {
    const time = index / rate;
    const tone = Math.sin(2 * Math.PI * hertz * time) * Math.exp(-time * 220);
    samples[index] = 0.85 * tone + 0.15 * noise() * Math.exp(-time * 900);
  }
  return samples;
}

/**
 * A plucked course of two strings by the string synthesis of Karplus and Strong: noise in a delay line as
 * long as a period, smoothed at each turn. Peak at most 1.
 */
export function pluckSamples(rate: number, hertz: number, seconds = 1.6): Float32Array<ArrayBuffer> {
  const one = pluckString(rate, hertz, seconds, 1);
  const two = pluckString(rate, hertz * 1.0012, seconds, 2);
  for (let index = 0; index < one.length; index += 1)
    one[index] = 0.5 * ((one[index] as number) + (two[index] as number));
  return one;
}

function pluckString(rate: number, hertz: number, seconds: number, seed: number): Float32Array<ArrayBuffer> {
  const samples = new Float32Array(Math.round(rate * seconds));
  // The smoothing filter delays by half a sample; the fraction that is left is made up by interpolation.
  const period = rate / hertz - 0.5;
  const length = Math.floor(period);
  const fraction = period - length;
  const line = new Float32Array(length + 1);
  const noise = noiseSource(seed * 7919 + Math.round(hertz));
  let smooth = 0;
  for (let index = 0; index < line.length; index += 1) {
    smooth = 0.45 * smooth + 0.55 * noise();
    line[index] = smooth;
  }
  const keep = 0.996 - 0.00000012 * hertz * hertz;
  let at = 0;
  let last = 0;
  for (let index = 0; index < samples.length; index += 1) {
    const now = line[at] as number;
    const next = line[(at + 1) % line.length] as number;
    const value = now * (1 - fraction) + next * fraction;
    samples[index] = value;
    line[at] = keep * 0.5 * (value + last);
    last = value;
    at = (at + 1) % line.length;
  }
  return samples;
}

/** Repeatable noise between −1 and 1 (a linear congruential generator), so that the sound is always the same. */
function noiseSource(seed: number): () => number {
  let state = (seed >>> 0) + 12345;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 0x80000000 - 1;
  };
}
