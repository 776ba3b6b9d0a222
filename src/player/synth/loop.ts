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
  /** Weight of the sample before in the average that damps, 0 to ½: the more, the sooner high partials are gone. */
  readonly blend: number;
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
/** The least that the allpass delays, samples: about nought it would hardly be stable. */
const leastFraction = 0.2;

/** A loop that sounds at `hertz` at a sample rate and decays as asked, as far as averaging two samples can damp. */
export function stringLoop(rate: number, hertz: number, decay: StringDecay): StringLoop {
  const turn = (2 * Math.PI * hertz) / rate;
  const high = Math.min(Math.max(decay.high, 3 * hertz), 0.45 * rate);
  const highTurn = (2 * Math.PI * high) / rate;
  const kept = 10 ** (-3 / (hertz * decay.seconds));
  const ratio = Math.min(1, 10 ** (-3 / (hertz * decay.highSeconds)) / kept);
  // The average's gain squared is 1 − q (1 − cos ω), where q = 2 S (1 − S): the q whose gains at the two frequencies have the ratio.
  const wanted = (1 - ratio * ratio) / (1 - Math.cos(highTurn) - ratio * ratio * (1 - Math.cos(turn)));
  const q = Math.min(0.5, wanted);
  const blend = (1 - Math.sqrt(1 - 2 * q)) / 2;
  const keep = Math.min(mostKept, kept / Math.sqrt(1 - q * (1 - Math.cos(turn))));
  const damping = Math.atan2(blend * Math.sin(turn), 1 - blend + blend * Math.cos(turn)) / turn;
  const left = rate / hertz - damping;
  const line = Math.floor(left - leastFraction);
  const fraction = left - line;
  const tuning = Math.sin((turn * (1 - fraction)) / 2) / Math.sin((turn * (1 + fraction)) / 2);
  return { line, keep, blend, tuning };
}
