import FFT from 'fft.js';
import type { Span } from './partial.js';

/** How far from its target a tone is looked for, cents: a semitone and a half. */
const reach = 150;
/** A tone stands so many times above what is round it. */
const clear = 6;
/** A second partial is there, so strong against the loudest: one alone may be another note's. */
const leastSecond = 0.1;
/** This much of it is looked at, seconds: two cents of the sixth partial of a low course can be told apart. */
const looked = 0.6;

/**
 * Roughly how sharp a tone is, to two cents: where most is heard at the places of its first `partials` up to `highest` Hz; `null` when nothing
 * stands out (harmonic sum: Noll, Pitch determination of human speech by the harmonic product spectrum, the harmonic sum
 * spectrum and a maximum likelihood estimate, 1969).
 */
export function roughCents(
  samples: Float32Array,
  { start, end, rate }: Span,
  { hertz, partials, highest }: { hertz: number; partials: number; highest: number },
): number | null {
  const length = Math.min(end - start, Math.round(looked * rate));
  const size = 2 ** Math.ceil(Math.log2(2 * length));
  const windowed = new Float64Array(size);
  for (let index = 0; index < length; index += 1)
    windowed[index] =
      (samples[start + index] as number) * (1 - Math.cos((2 * Math.PI * (index + 0.5)) / length));
  const fft = new FFT(size);
  const out = fft.createComplexArray();
  fft.realTransform(out, windowed);
  const heardAt = (cents: number): number[] => {
    const heard: number[] = [];
    for (let number = 1; number <= partials; number += 1) {
      const place = (number * hertz * 2 ** (cents / 1200) * size) / rate;
      if (number > 1 && (place * rate) / size > Math.min(highest, 0.45 * rate)) break;
      const bin = Math.round(place);
      heard.push(Math.hypot(out[2 * bin] as number, out[2 * bin + 1] as number) ** 0.7);
    }
    return heard;
  };
  const steps = Array.from({ length: reach + 1 }, (_, index) => 2 * index - reach);
  const values = steps.map((cents) => heardAt(cents).reduce((sum, one) => sum + one, 0));
  const top = values.indexOf(Math.max(...values));
  const middle = [...values].sort((one, other) => one - other)[values.length >> 1] as number;
  if ((values[top] as number) <= clear * middle) return null;
  const [loudest = 0, second = 0] = heardAt(steps[top] as number).sort((one, other) => other - one);
  return second > leastSecond * loudest ? (steps[top] as number) : null;
}
