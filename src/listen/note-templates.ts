import { compression } from './stroke-spectrum.js';

/** What a note looks like in a spectrum: the frequencies where it has something, and how much, together 1. */
export interface NoteTemplate {
  readonly note: number;
  readonly places: Int32Array;
  readonly weights: Float64Array;
}

/** How a spectrum is laid out: see `StrokeSpectrum`. */
export interface SpectrumLayout {
  readonly lowest: number;
  readonly step: number;
  readonly count: number;
  readonly seconds: number;
}

/** Harmonics of a template, as many as matter up to the top of the spectrum for the lowest notes. */
const harmonics = 16;
/** Stiffness of a steel string on a short scale (inharmonicity B of Fletcher and Rossing, The Physics of Musical Instruments, 1998, chapter 2; 0.3 to 5 · 10⁻⁴ there). */
const stiffness = 1e-4;

/** The magnitude of Hann's window's transform, 1 at its centre; `bins` in units of one over the window's length. Beyond the main lobe nothing. */
function mainLobe(bins: number): number {
  const x = Math.abs(bins);
  if (x >= 2) return 0;
  if (x < 1e-6) return 1;
  if (Math.abs(x - 1) < 1e-6) return 0.5;
  return Math.abs(Math.sin(Math.PI * x) / (Math.PI * x) / (1 - x * x));
}

/**
 * The template of a note (MIDI) in a spectrum: its harmonics, stretched by the string's stiffness, falling as one over their
 * number as those of a plucked string do (harmonic templates: Vincent, Bertin and Badeau, Adaptive harmonic spectral
 * decomposition for multiple pitch estimation, 2010).
 */
export function noteTemplate(note: number, layout: SpectrumLayout): NoteTemplate {
  const base = 440 * 2 ** ((note - 69) / 12);
  const { lowest, step, count, seconds } = layout;
  const reach = 2 / seconds / step;
  const weights = new Map<number, number>();
  let sum = 0;
  for (let harmonic = 1; harmonic <= harmonics; harmonic += 1) {
    const hertz = harmonic * base * Math.sqrt(1 + stiffness * harmonic * harmonic);
    const centre = (hertz - lowest) / step;
    const last = Math.min(count - 1, Math.floor(centre + reach));
    for (let place = Math.max(0, Math.ceil(centre - reach)); place <= last; place += 1) {
      const lobe = mainLobe((lowest + place * step - hertz) * seconds);
      const weight = (lobe / harmonic) ** compression;
      if (weight === 0) continue;
      weights.set(place, (weights.get(place) ?? 0) + weight);
      sum += weight;
    }
  }
  return {
    note,
    places: Int32Array.from(weights.keys()),
    weights: Float64Array.from(weights.values(), (weight) => weight / sum),
  };
}
