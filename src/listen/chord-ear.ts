import { type ChordCandidate, type StrokeKind, soundingOdds } from './chord-odds.js';
import { type ChordVerdict, unsure, verdictOf } from './chord-verdict.js';
import { InstrumentOffset } from './instrument-offset.js';
import { PitchEar } from './pitch-levels.js';

/** What is known of a stroke before it is listened to. */
export interface StrokeContext {
  /** The chords it may be, one of them expected; each id once. */
  readonly candidates: readonly ChordCandidate[];
  readonly kind: StrokeKind;
  /** How sharp the instrument is, cents; as heard so far when absent. */
  readonly tuningCents?: number;
}

/**
 * From this share of the spectrum on, notes count as notes. The noise of a pick on damped strings, spread unevenly as it is, makes a
 * fifth of several notes (measured); a low note has one note's partials only, and stands out less from a room's noise.
 */
const leastTonal = { low: 0.12, chop: 0.2, up: 0.15 } as const;
/** If one pitch class has more than this share of a chop, it is not a chord but, for example, a click. */
const mostOfOne = 0.8;
/** Notes are looked for from this far below the planned ones to this far above, semitones: other voicings reach there. Rounded, so that few ranges occur. */
const below = 4;
const above = 6;
const rounding = 3;
/** What is looked for when no candidate has notes, MIDI. */
const usualRange = [48, 84] as const;

/** A stroke's sound is about this long, seconds. */
const clipSeconds = 0.22;

/**
 * Hears whether a stroke is the expected chord: not by writing down what sounds, but by asking which of the chords that it
 * may be explains the sound best (Bayes' rule; the pitch classes are taken as independent).
 */
export class ChordEar {
  /** How sharp the instrument is, from the strokes so far. */
  readonly offset = new InstrumentOffset();
  private readonly pitches: PitchEar;

  /** `rate` in samples a second. */
  constructor(private readonly rate: number) {
    this.pitches = new PitchEar(rate);
  }

  /**
   * Judges the stroke whose attack is at a sample of the sound. The sound goes on for 0.1 s after it, and begins 0.1 s before
   * it, so that what rings on from the stroke before is told from what is new; what is not there counts as silence.
   */
  judge(samples: Float32Array, attack: number, context: StrokeContext): ChordVerdict {
    this.pitches.look(samples, attack);
    this.offset.add(this.pitches.spectrum.peaks(300, 3000));
    return this.decide(samples, attack, context);
  }

  /** Prepares what strokes of these chords need and what takes long only the first time. Learns nothing about the instrument. */
  prepare(candidates: StrokeContext['candidates']): void {
    const clip = Float32Array.from({ length: Math.round(clipSeconds * this.rate) }, (_, at) =>
      Math.sin((2 * Math.PI * 440 * at) / this.rate),
    );
    for (const kind of ['low', 'chop', 'up', 'chop'] as const) {
      this.pitches.look(clip, clip.length / 2);
      this.decide(clip, clip.length / 2, { candidates, kind });
    }
  }

  private decide(samples: Float32Array, attack: number, context: StrokeContext): ChordVerdict {
    const { candidates, kind } = context;
    const planned = candidates.flatMap((one) => one.notes);
    const notes = planned.length > 0 ? planned : usualRange;
    const { shares, tonal } = this.pitches.levels(samples, attack, {
      low: rounding * Math.floor((Math.min(...notes) - below) / rounding),
      high: rounding * Math.ceil((Math.max(...notes) + above) / rounding),
      cents: context.tuningCents ?? this.offset.cents,
    });
    if (tonal < leastTonal[kind] || (kind === 'chop' && Math.max(...shares) > mostOfOne))
      return unsure(candidates);
    return verdictOf(soundingOdds(shares, kind), candidates, kind);
  }
}
