import { type StringDecay, stringLoop } from './loop.js';
import { noiseSource } from './noise.js';

/*
 * A plucked string as Kevin Karplus and Alex Strong describe it in “Digital Synthesis of Plucked-String and Drum Timbres”
 * and David Jaffe and Julius Smith extend it in “Extensions of the Karplus-Strong Plucked-String Algorithm” (both Computer
 * Music Journal 7:2, 1983): a period of sound goes round in a delay line and is damped at each turn. Of the extensions: tuning by an
 * allpass, a decay that is chosen, a comb for the place of the pick, lowpasses for the pick and for how hard it strikes. Two
 * things are other than there. What damps is a lowpass of one pole: an average of two samples cannot damp the high partials of low
 * strings as soon as they are. And the string starts from being let go, with noise of the pick on it, not from noise alone: so
 * every note has the same colour.
 */

/** How a string is plucked, and how it goes on. */
export interface Pluck {
  readonly hertz: number;
  readonly decay: StringDecay;
  /** Where it is plucked, as a share of the string from the bridge. */
  readonly place: number;
  /** Share of noise in what the string starts from, 0 to 1. */
  readonly roughness: number;
  /** Bandwidth of the pick or finger and of how hard it strikes, hertz. */
  readonly bandwidths: readonly number[];
  /** Chooses the noise. */
  readonly seed: number;
}

/** Adds a plucked string to samples, from their beginning to their end, at most `level` strong. */
export function addString(samples: Float32Array, rate: number, pluck: Pluck, level: number): void {
  const { line, keep, pole, tuning } = stringLoop(rate, pluck.hertz, pluck.decay);
  const delay = excitation(rate, line, pluck);
  const own = keep * (1 - pole);
  let [at, damped, tuned] = [0, 0, 0];
  for (let index = 0; index < samples.length; index += 1) {
    const value = delay[at] as number;
    const before = damped;
    damped = own * value + pole * before;
    tuned = tuning * (damped - tuned) + before;
    delay[at] = tuned;
    at = at + 1 === line ? 0 : at + 1;
    samples[index] = (samples[index] as number) + level * value;
  }
}

/** One period of what a string starts from, without a constant part, its peak at 1. */
function excitation(rate: number, length: number, pluck: Pluck): Float64Array {
  const noise = noiseSource(pluck.seed * 7919 + Math.round(pluck.hertz));
  const burst = Float64Array.from(
    { length },
    (_, index) => (1 - pluck.roughness) * (1 - (2 * index) / length) + pluck.roughness * noise(),
  );
  const shift = Math.max(1, Math.round(pluck.place * length));
  const made = burst.map((value, index) => value - (burst[(index - shift + length) % length] as number));
  for (const bandwidth of pluck.bandwidths) lowpassRound(made, Math.exp((-2 * Math.PI * bandwidth) / rate));
  const mean = made.reduce((sum, one) => sum + one, 0) / length;
  let peak = 1e-9;
  for (let index = 0; index < length; index += 1) {
    made[index] = (made[index] as number) - mean;
    peak = Math.max(peak, Math.abs(made[index] as number));
  }
  return made.map((one) => one / peak);
}

/** A lowpass of one pole over a period that goes on into itself: the second time round starts from where the first ended. */
function lowpassRound(period: Float64Array, pole: number): void {
  let state = 0;
  for (const value of period) state = (1 - pole) * value + pole * state;
  for (let index = 0; index < period.length; index += 1) {
    state = (1 - pole) * (period[index] as number) + pole * state;
    period[index] = state;
  }
}
