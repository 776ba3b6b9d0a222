import { addStrike, fadeOut, setPeak } from './strike.js';

/** Second mode of a bar that is free at its ends, by its first (the ratio of textbooks on vibrating bars). */
const secondMode = 2.756;
const seconds = 0.06;

/** A wood block: two modes, damped quickly, and the noise of the stick. Accented it is higher, and more of its second mode is heard. */
export function woodBlock(rate: number, accented: boolean): Float32Array<ArrayBuffer> {
  const samples = new Float32Array(Math.round(rate * seconds));
  const first = accented ? 1245 : 880;
  addMode(samples, rate, first, 0.05, 1);
  addMode(samples, rate, first * secondMode, 0.02, accented ? 0.7 : 0.35);
  addStrike(samples, rate, { above: 1500, seconds: 0.006, level: accented ? 0.35 : 0.2 }, first);
  fadeOut(samples, Math.round(0.8 * samples.length), 20);
  setPeak(samples, 0.73);
  return samples;
}

/** A mode of vibration: a tone that has fallen by 60 dB after this many seconds. */
function addMode(samples: Float32Array, rate: number, hertz: number, fall: number, level: number): void {
  for (let index = 0; index < samples.length; index += 1) {
    const time = index / rate;
    const tone = Math.sin(2 * Math.PI * hertz * time) * 10 ** ((-3 * time) / fall);
    samples[index] = (samples[index] as number) + level * tone;
  }
}
