/** Triangular bands on a logarithmic scale over the bins of a spectrum. */
export interface Bands {
  readonly count: number;
  /** First bin and weights of each band. */
  readonly filters: readonly { readonly from: number; readonly weights: Float64Array }[];
}

/** Bands of equal width in pitch, `perOctave` of them an octave, from `low` to `high` Hz. Where bins are further apart than bands, bands with the same bin fall together. */
export function logBands(rate: number, size: number, low: number, high: number, perOctave: number): Bands {
  const binOf = (hertz: number): number => Math.round((hertz * size) / rate);
  const centres: number[] = [];
  for (let step = 0; ; step += 1) {
    const hertz = low * 2 ** (step / perOctave);
    if (hertz > high || hertz > rate / 2) break;
    const bin = binOf(hertz);
    if (bin !== centres.at(-1)) centres.push(bin);
  }
  const filters = centres.slice(1, -1).map((centre, index) => {
    const below = centres[index] as number;
    const above = centres[index + 2] as number;
    const weights = Float64Array.from({ length: above - below - 1 }, (_, offset) => {
      const bin = below + 1 + offset;
      return bin <= centre ? (bin - below) / (centre - below) : (above - bin) / (above - centre);
    });
    return { from: below + 1, weights };
  });
  return { count: filters.length, filters };
}

/** The sum of a spectrum's magnitudes in each band. */
export function inBands(bands: Bands, magnitudes: Float64Array, into: Float64Array): Float64Array {
  bands.filters.forEach(({ from, weights }, band) => {
    let sum = 0;
    for (let index = 0; index < weights.length; index += 1)
      sum += (weights[index] as number) * (magnitudes[from + index] ?? 0);
    into[band] = sum;
  });
  return into;
}
