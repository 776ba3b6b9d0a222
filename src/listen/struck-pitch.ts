import FFT from 'fft.js';

/** The sound that is used begins this long after the attack; the same length before the attack is subtracted; seconds. */
const behind = 0.06;
const before = 0.02;
const looked = 0.4;
/** Pitches, Hz: from below the lowest course of any plucked instrument in reach to the twelfth fret of the highest. */
const [lowest, highest] = [50, 1400];
/** The period is the first that explains this much of what the best one explains (McLeod and Wyvill, A smarter way to find pitch, ICMC 2005). */
const firstGood = 0.85;
/** Less of the sound than this is explained by one pitch: it is noise, or several. */
const leastClear = 0.5;
/** What rang before counts when it has more than this of the power, beside the pitch that was struck. */
const leastOther = 0.01;
/** Sound this near to a partial belongs to it, as a share of the pitch. */
const nearPartial = 0.04;

/** What was struck: its pitch, Hz; `others`: something else rings on beside it that rang before. */
export interface StruckPitch {
  readonly hertz: number;
  readonly others: boolean;
}

/** How much sound `struckPitch` wants before and after an attack, seconds. */
export const struckNeeds = { before: before + looked, behind: behind + looked } as const;

/**
 * The pitch of a single string or course that was struck, whatever rings on from before: of the power spectrum after the attack that of before
 * it is taken off, and the autocorrelation that follows from the rest (Boersma, Accurate short-term analysis of the fundamental frequency,
 * 1993) has its first good peak at the period. `null` when no one pitch explains it.
 */
export function struckPitch(samples: Float32Array, attack: number, rate: number): StruckPitch | null {
  const length = Math.round(looked * rate);
  const size = 2 ** Math.ceil(Math.log2(2 * length));
  const fft = new FFT(size);
  const now = power(fft, size, samples, Math.round(attack + behind * rate), length);
  const past = power(fft, size, samples, Math.round(attack - (before + looked) * rate), length);
  const rest = Float64Array.from(now, (value, bin) => Math.max(0, value - (past[bin] as number)));
  const least = Math.floor(((lowest / 2) * size) / rate);
  rest.fill(0, 0, least);
  const correlation = autocorrelation(fft, size, rest);
  const period = firstPeak(correlation, rate / highest, Math.min(size / 2 - 2, rate / lowest));
  if (period === null) return null;
  const hertz = rate / period;
  return { hertz, others: othersRing(past, now, (hertz * size) / rate) };
}

/** Power of a stretch under a Hann window, for bins 0 to half the size. */
function power(fft: FFT, size: number, samples: Float32Array, from: number, length: number): Float64Array {
  const windowed = new Float64Array(size);
  for (let index = 0; index < length; index += 1)
    windowed[index] = (samples[from + index] ?? 0) * (1 - Math.cos((2 * Math.PI * (index + 0.5)) / length));
  const out = fft.createComplexArray();
  fft.realTransform(out, windowed);
  return Float64Array.from(
    { length: size / 2 + 1 },
    (_, bin) => (out[2 * bin] as number) ** 2 + (out[2 * bin + 1] as number) ** 2,
  );
}

/** The autocorrelation of what has such a power spectrum, against its value at 0. */
function autocorrelation(fft: FFT, size: number, spectrum: Float64Array): Float64Array {
  // A strong partial alone would decide: louder ones count less than they are.
  const whole = Float64Array.from({ length: size }, (_, bin) =>
    Math.sqrt(spectrum[bin <= size / 2 ? bin : size - bin] as number),
  );
  const out = fft.createComplexArray();
  fft.realTransform(out, whole);
  const all = out[0] as number;
  return Float64Array.from({ length: size / 2 }, (_, lag) => (all > 0 ? (out[2 * lag] as number) / all : 0));
}

/** The lag, with its fraction, of the first peak that is nearly as good as the best; `null` when none is good. */
function firstPeak(correlation: Float64Array, from: number, to: number): number | null {
  const peaks: number[] = [];
  for (let lag = Math.max(2, Math.floor(from)); lag <= to; lag += 1) {
    const here = correlation[lag] as number;
    if (here > (correlation[lag - 1] as number) && here >= (correlation[lag + 1] as number)) peaks.push(lag);
  }
  const best = Math.max(0, ...peaks.map((lag) => correlation[lag] as number));
  if (best < leastClear) return null;
  const lag = peaks.find((one) => (correlation[one] as number) >= firstGood * best) as number;
  const [left, top, right] = [lag - 1, lag, lag + 1].map((at) => correlation[at] as number) as [
    number,
    number,
    number,
  ];
  const curve = left - 2 * top + right;
  return lag + (curve < 0 ? (0.5 * (left - right)) / curve : 0);
}

/** Whether what rang before has power away from the partials of the pitch, whose place is `base` bins. */
function othersRing(past: Float64Array, now: Float64Array, base: number): boolean {
  let other = 0;
  let all = 0;
  for (let bin = Math.ceil(base / 2); bin < now.length; bin += 1) {
    const partial = Math.max(1, Math.round(bin / base));
    all += now[bin] as number;
    if (Math.abs(bin - partial * base) > nearPartial * base * Math.sqrt(partial))
      other += Math.min(past[bin] as number, now[bin] as number);
  }
  return other > leastOther * all;
}
