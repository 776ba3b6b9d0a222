import { addBody, type Resonance } from './body.js';
import { addStrike, fadeOut, setPeak } from './strike.js';
import { addString } from './string.js';

/** The two strings of a course lie this far off the note, one below, one above: they beat, and the note between them stays. */
const apart = 2 ** (1 / 1200);
/** Peaks, so that a chop is no louder than it is with courses of plain strings. */
const ringPeak = 0.4;
const chopPeak = 0.6;
/** A chop is whole for this share of its length; then the fingers damp it. */
const wholeShare = 0.4;
/**
 * A small body, in the ranges that are usual for mandolins with f-holes: its plates, low and broad, so that they are gone before a chop
 * is, and higher up what gives the chop its bark.
 */
const plates: Resonance = { hertz: 430, sharpness: 5, level: 0.5 };
const bark: Resonance = { hertz: 950, sharpness: 5, level: 0.8 };
/** How far up a stroke reaches by its strength, hertz, from the softest quarter of velocities to the strongest. */
const bandwidths: readonly number[] = [1600, 2600, 4000, 6000];

/** A course of two strings that rings until it has faded: low notes, strokes that are held. `strength` 0–3. */
export function ringingCourse(rate: number, hertz: number, strength: number): Float32Array<ArrayBuffer> {
  const seconds = ringSeconds(hertz);
  const samples = new Float32Array(Math.round(rate * seconds));
  for (const [seed, off] of [1 / apart, apart].entries())
    addString(
      samples,
      rate,
      {
        hertz: hertz * off,
        decay: { seconds, highSeconds: seconds / 5, high: 3000 },
        place: 0.16,
        roughness: 0.2,
        bandwidths: [8000, bandwidths[strength] as number],
        seed: seed + 1,
      },
      0.5,
    );
  addStrike(samples, rate, { above: 2000, seconds: 0.015, level: 0.12 }, Math.round(hertz));
  addBody(samples, rate, plates, bark);
  fadeOut(samples, samples.length - Math.round(rate * 0.05), 20);
  setPeak(samples, ringPeak);
  return samples;
}

/** A course that is struck hard and damped at once: gone after `ms`. `strength` 0–3. */
export function choppedCourse(
  rate: number,
  hertz: number,
  strength: number,
  ms: number,
): Float32Array<ArrayBuffer> {
  const length = Math.round((rate * ms) / 1000);
  const samples = new Float32Array(length);
  for (const [seed, off] of [1 / apart, apart].entries())
    addString(
      samples,
      rate,
      {
        hertz: hertz * off,
        decay: { seconds: Math.min(0.5, ringSeconds(hertz)), highSeconds: 0.1, high: 3000 },
        place: 0.12,
        roughness: 0.35,
        bandwidths: [9000, 1.3 * (bandwidths[strength] as number)],
        seed: seed + 3,
      },
      0.5,
    );
  addStrike(samples, rate, { above: 1500, seconds: 0.02, level: 0.4 }, Math.round(hertz));
  addBody(samples, rate, plates, bark);
  fadeOut(samples, Math.round(wholeShare * length), 40);
  setPeak(samples, chopPeak);
  return samples;
}

/** Seconds until a course has fallen by 60 dB: the higher, the sooner. */
function ringSeconds(hertz: number): number {
  return Math.min(1.8, 1.6 * (196 / hertz) ** 0.5);
}
