import { NoteFit } from './note-levels.js';
import { noteTemplate } from './note-templates.js';
import { compression, StrokeSpectrum } from './stroke-spectrum.js';

/** The notes that are heard in a stroke. */
export interface PitchLevels {
  /** For each pitch class its share of all that sounds as notes, together 1 (all 0 in silence). */
  readonly shares: Float64Array;
  /** The share of the spectrum that new notes explain; the rest is noise, and what rings on from before. */
  readonly tonal: number;
}

/** The notes that are looked for (MIDI), and how sharp the instrument is, cents. */
export interface NoteRange {
  readonly low: number;
  readonly high: number;
  readonly cents: number;
}

/** This many fits are kept. */
const mostFits = 8;
/** The pick's noise is left out: the window begins this long after the attack, seconds. Hann's window rises slowly, so it is little. */
const behindAttack = 0.006;
/** What rings on from the stroke before is looked at up to this long before the attack, seconds: an attack may be placed a little late. */
const beforeAttack = 0.008;
/** How loud what rings on still is, is taken from this long a piece at the end, seconds. */
const ending = 0.012;
/** What rings on is looked at when it is so loud against the stroke (amplitudes). */
const ringsFrom = 0.05;

/**
 * Hears how much of each pitch class is in a stroke: a fit of harmonic templates, folded into octaves (Fujishima, Realtime
 * chord recognition of musical sound, ICMC 1999; with a fit, Mauch and Dixon, Approximate note transcription for the
 * improved identification of difficult chords, ISMIR 2010).
 */
export class PitchEar {
  readonly spectrum: StrokeSpectrum;
  /** The fits of the ranges met before: one or two in a chart. */
  private readonly fits = new Map<string, NoteFit>();

  constructor(private readonly rate: number) {
    this.spectrum = new StrokeSpectrum(rate);
  }

  /** Looks at the stroke whose attack is at a sample: `spectrum` has it then. */
  look(samples: Float32Array, attack: number): void {
    this.spectrum.look(samples, this.startOf(attack));
  }

  /**
   * The levels of the stroke that was looked at, whose attack is at a sample. What rings on from before is taken away.
   */
  levels(samples: Float32Array, attack: number, range: NoteRange): PitchLevels {
    const { levels, noise } = this.fit(range);
    const all = levels.reduce((sum, level) => sum + level, noise);
    const ringing = this.ringing(samples, attack, range);
    const left = ringing ? levels.map((level, index) => lessened(level, ringing[index] as number)) : levels;
    const shares = new Float64Array(12);
    let tonal = 0;
    left.forEach((level, index) => {
      const pitchClass = (range.low + index) % 12;
      shares[pitchClass] = (shares[pitchClass] as number) + level;
      tonal += level;
    });
    return tonal > 0
      ? { shares: shares.map((share) => share / tonal), tonal: tonal / all }
      : { shares, tonal: 0 };
  }

  /** The levels of the notes that ring on into a stroke; `null` when next to nothing does. */
  private ringing(samples: Float32Array, attack: number, range: NoteRange): Float64Array | null {
    const { length } = this.spectrum;
    const end = attack - Math.round(beforeAttack * this.rate);
    const start = end - length;
    const piece = Math.round(ending * this.rate);
    const now = rms(samples, this.startOf(attack), length);
    const last = rms(samples, end - piece, piece);
    if (start < 0 || last < ringsFrom * now) return null;
    this.spectrum.look(samples, start);
    const { levels } = this.fit(range);
    // The window before held louder sound than is left at its end.
    const faded = Math.min(1, last / rms(samples, start, length)) ** compression;
    return levels.map((level) => level * faded);
  }

  private fit({ low, high, cents }: NoteRange): { levels: Float64Array; noise: number } {
    const { spectrum } = this;
    const name = `${low} ${high}`;
    const known = this.fits.get(name);
    const made =
      known ??
      new NoteFit(
        Array.from({ length: high - low + 1 }, (_, index) => noteTemplate(low + index, spectrum)),
        spectrum,
      );
    if (!known) {
      // However many ranges are asked for, memory stays limited.
      if (this.fits.size >= mostFits) this.fits.clear();
      this.fits.set(name, made);
    }
    const levels = made.levels(spectrum.compressed(cents));
    const notes = high - low + 1;
    return {
      levels: levels.subarray(0, notes),
      noise: (levels[notes] as number) + (levels[notes + 1] as number),
    };
  }

  private startOf(attack: number): number {
    return attack + Math.round(behindAttack * this.rate);
  }
}

/** A level less another; both are of compressed magnitudes. */
function lessened(level: number, by: number): number {
  return Math.max(0, level ** (1 / compression) - by ** (1 / compression)) ** compression;
}

function rms(samples: Float32Array, start: number, length: number): number {
  let sum = 0;
  for (let index = start; index < start + length; index += 1) sum += (samples[index] ?? 0) ** 2;
  return Math.sqrt(sum / length);
}
