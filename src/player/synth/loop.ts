/*
 * What a string's loop is made of, from what is wanted of the string. A loop is a delay line whose end is led back to
 * its beginning by two filters: one that damps, one that tunes. Both delay too, and what they delay is taken off the line.
 */

/** The loop of one string. */
export interface StringLoop {
  /** Samples in the delay line. */
  readonly line: number;
  /** Share that each turn keeps. */
  readonly keep: number;
  /** The pole of the lowpass that damps, 0 to 1: the nearer to 1, the sooner high partials are gone. */
  readonly pole: number;
  /** Coefficient of the allpass that makes up the fraction of a sample. */
  readonly tuning: number;
}

/** How long a string sounds: seconds until it has fallen by 60 dB, at its fundamental and at a high frequency. */
export interface StringDecay {
  readonly seconds: number;
  readonly highSeconds: number;
  /** The high frequency, hertz. Where the fundamental is not well below it, three times the fundamental. */
  readonly high: number;
}

/** No turn keeps more, so that no rounding can grow. */
const mostKept = 0.99995;
/** The least that the allpass delays, samples: about zero it would hardly be stable. */
const leastFraction = 0.2;

/** m of a pole of 0.98. More is never wanted, and near 1 there is no pole that does what is asked. */
const leastMiddle = 1.0002;

/** A loop that sounds at `hertz` at a sample rate and decays as asked. */
export function stringLoop(rate: number, hertz: number, decay: StringDecay): StringLoop {
  const turn = (2 * Math.PI * hertz) / rate;
  const high = Math.min(Math.max(decay.high, 3 * hertz), 0.45 * rate);
  const kept = 10 ** (-3 / (hertz * decay.seconds));
  const ratio = Math.min(1, 10 ** (-3 / (hertz * decay.highSeconds)) / kept);
  const pole = poleFor(ratio * ratio, Math.cos(turn), Math.cos((2 * Math.PI * high) / rate));
  const [real, imaginary] = [1 - pole * Math.cos(turn), pole * Math.sin(turn)];
  const keep = Math.min(mostKept, (kept * Math.hypot(real, imaginary)) / (1 - pole));
  const left = rate / hertz - Math.atan2(imaginary, real) / turn;
  // Above half the sample rate there is no loop: the shortest sounds.
  const line = Math.max(1, Math.floor(left - leastFraction));
  const fraction = left - line;
  const tuning = Math.sin((turn * (1 - fraction)) / 2) / Math.sin((turn * (1 + fraction)) / 2);
  return { line, keep, pole, tuning };
}

/**
 * The pole of a lowpass (1 − p) / (1 − p z⁻¹) whose gains at two frequencies, given by their cosines, have a ratio, given squared. Its
 * gain squared goes with 1 / (1 − 2 p cos ω + p²), which makes the pole the lesser root of p² − 2 m p + 1.
 */
function poleFor(ratio: number, cosine: number, highCosine: number): number {
  if (ratio > 1 - 1e-9) return 0;
  const middle = Math.max(leastMiddle, (cosine - ratio * highCosine) / (1 - ratio));
  return middle - Math.sqrt(middle * middle - 1);
}
