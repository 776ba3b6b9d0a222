import { fadeOut, setPeak } from './strike.js';
import { addString } from './string.js';

/*
 * The tune's two sounds. Both are kept out of the click's way: there is next to nothing of them where a wood block has its second
 * mode (2.4 and 3.4 kHz) and the noise of its stick, and a note that is bowed is not there yet when the click with it sounds.
 */

/** Peaks: a tune is company, and a click must be heard through it. */
const bowedPeak = 0.2;
const pluckedPeak = 0.3;
/** Until a bowed note has come up, seconds. */
const riseSeconds = 0.07;
/** Between what is sounded once and what goes round, seconds from the beginning. */
const settledSeconds = 0.25;
/** A vibrato, turns a second, and how far it goes, as a share of the frequency: 9 cents each way. */
const vibratoRate = 5.2;
const vibratoDepth = 0.005;
/** Partials fall like those of a bowed string, and above here twice as fast again, hertz. */
const corner = 900;
/** Where the click's second modes lie, hertz: partials there are left out almost wholly. */
const clickBand = { from: 1900, to: 4400, level: 0.12 };
/** Where it is taken out of a plucked note: around the second modes, hertz. */
const clickModes: readonly number[] = [2100, 2700, 3431];
/** How wide what is taken out around each of them is: frequency by bandwidth. */
const notchSharpness = 1.2;
/** Nothing lies higher, hertz. */
const highest = 6000;
/** How much brighter a note is that is played with more strength, by its quarter of velocities. */
const cornerByStrength: readonly number[] = [0.7, 0.85, 1, 1.15];

/** The samples of a bowed note that go round until it ends: whole turns of its tone and of its vibrato. */
export interface Sustained {
  readonly from: number;
  readonly to: number;
}

/** What of a bowed note goes round, in samples: two turns of its vibrato, made as long as fits whole periods. */
export function bowedLoop(rate: number, hertz: number): Sustained {
  const from = Math.round(settledSeconds * rate);
  const periods = Math.max(1, Math.round((2 / vibratoRate) * hertz));
  return { from, to: from + Math.round((periods * rate) / hertz) };
}

/** A bowed note, up to the end of what goes round. `strength` 0–3. */
export function bowedNote(rate: number, hertz: number, strength: number): Float32Array<ArrayBuffer> {
  const { from, to } = bowedLoop(rate, hertz);
  const samples = new Float32Array(to);
  const wave = bowedWave(hertz, corner * (cornerByStrength[strength] as number));
  const loop = to - from;
  const perSample = Math.round((hertz * loop) / rate) / loop;
  const turn = (2 * Math.PI * 2) / loop;
  const rise = riseSeconds * rate;
  for (let index = 0; index < to; index += 1) {
    // The vibrato as a phase, so that it comes to nothing over whole turns, and in from the beginning.
    const swing = Math.min(1, index / from);
    const angle = turn * (index - from);
    const phase = perSample * (index - from) - (swing * vibratoDepth * perSample * Math.cos(angle)) / turn;
    samples[index] = waveAt(wave, phase) * Math.min(1, (index / rise) ** 1.5);
  }
  setPeak(samples, bowedPeak);
  return samples;
}

/** A note that is plucked and fades: one string, softly struck. `strength` 0–3. */
export function pluckedNote(rate: number, hertz: number, strength: number): Float32Array<ArrayBuffer> {
  const seconds = Math.min(1.8, 1.5 * (196 / hertz) ** 0.4);
  const samples = new Float32Array(Math.round(rate * seconds));
  const bright = cornerByStrength[strength] as number;
  addString(
    samples,
    rate,
    {
      hertz,
      decay: { seconds, highSeconds: seconds / 8, high: 2000 },
      place: 0.3,
      roughness: 0.05,
      bandwidths: [900 * bright, 1100 * bright, 1400],
      seed: 9,
    },
    1,
  );
  for (const mode of clickModes) notch(samples, rate, mode);
  fadeOut(samples, samples.length - Math.round(rate * 0.1), 20);
  setPeak(samples, pluckedPeak);
  return samples;
}

/** Takes a frequency and what lies around it out of samples, in place: a band-stop filter of two poles. */
function notch(samples: Float32Array, rate: number, hertz: number): void {
  const turn = (2 * Math.PI * hertz) / rate;
  const width = Math.sin(turn) / (2 * notchSharpness);
  const gain = 1 / (1 + width);
  const middle = 2 * Math.cos(turn) * gain;
  const two = (1 - width) * gain;
  let [in1, in2, out1, out2] = [0, 0, 0, 0];
  for (let index = 0; index < samples.length; index += 1) {
    const value = samples[index] as number;
    const out = gain * (value + in2) - middle * in1 + middle * out1 - two * out2;
    in2 = in1;
    in1 = value;
    out2 = out1;
    out1 = out;
    samples[index] = out;
  }
}

/** Samples of one period, a power of two. */
const waveSize = 2048;

function bowedWave(hertz: number, bend: number): Float64Array {
  const wave = new Float64Array(waveSize);
  for (let partial = 1; partial * hertz < highest && partial < waveSize / 8; partial += 1) {
    const at = partial * hertz;
    const inBand = partial > 1 && at > clickBand.from && at < clickBand.to;
    const level =
      ((inBand ? clickBand.level : 1) / partial / (1 + (at / bend) ** 2)) * (1 + (hertz / bend) ** 2);
    for (let index = 0; index < waveSize; index += 1)
      wave[index] =
        (wave[index] as number) + level * Math.sin((2 * Math.PI * partial * index) / waveSize + partial);
  }
  return wave;
}

/** A wave at a phase in turns, between its samples by a straight line. */
function waveAt(wave: Float64Array, phase: number): number {
  const place = (phase - Math.floor(phase)) * waveSize;
  const index = Math.floor(place);
  const before = wave[index & (waveSize - 1)] as number;
  const behind = wave[(index + 1) & (waveSize - 1)] as number;
  return before + (place - index) * (behind - before);
}

/** Programs whose notes are struck or plucked, and fade: piano, tuned percussion, guitars, basses, a plucked violin, a harp, and 105 to 109. */
export function isPlucked(program: number): boolean {
  return (
    program < 16 || (program >= 24 && program < 40) || program === 45 || program === 46 || isEthnic(program)
  );
}

/** 105 Sitar, 106 Banjo, 107 Shamisen, 108 Koto, 109 Kalimba. */
function isEthnic(program: number): boolean {
  return program >= 104 && program <= 108;
}
