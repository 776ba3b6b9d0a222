import { type ChordVerdict, unsure, verdictOf } from './chord-verdict.js';
import { type ChordCandidate, type StrokeKind, soundingOdds } from './chord-odds.js';
import { InstrumentOffset } from './instrument-offset.js';
import { PitchEar } from './pitch-levels.js';

/** What is known of a stroke before it is listened to. */
export interface StrokeContext {
  /** The chords it may be, the expected one first; each id once. */
  readonly candidates: readonly ChordCandidate[];
  readonly kind: StrokeKind;
  /** How sharp the instrument is, cents; as heard so far when absent. */
  readonly tuningCents?: number;
}

/** Below this share of the spectrum nothing sounds that has a pitch. */
const leastTonal = 0.12;

/**
 * Hears whether a stroke is the expected chord: not by writing down what sounds, but by asking which of the chords that it
 * may be explains the sound best (Bayes' rule; the pitch classes are taken as independent).
 */
export class ChordEar {
  /** How sharp the instrument is, from the strokes so far. */
  readonly offset = new InstrumentOffset();
  private readonly pitches: PitchEar;

  /** `rate` in samples a second. */
  constructor(rate: number) {
    this.pitches = new PitchEar(rate);
  }

  /** Judges the stroke whose attack is at a sample of the sound, which should go on for 0.1 s. */
  judge(samples: Float32Array, attack: number, context: StrokeContext): ChordVerdict {
    const { candidates, kind } = context;
    this.pitches.look(samples, attack);
    this.offset.add(this.pitches.spectrum.peaks(300, 3000));
    const notes = candidates.flatMap((one) => one.notes);
    const { shares, tonal } = this.pitches.levels(samples, attack, {
      low: Math.min(...notes) - 5,
      high: Math.max(...notes) + 7,
      cents: context.tuningCents ?? this.offset.cents,
    });
    const sounding = soundingOdds(shares, kind);
    return tonal < leastTonal ? unsure(candidates) : verdictOf(sounding, candidates, kind);
  }
}
