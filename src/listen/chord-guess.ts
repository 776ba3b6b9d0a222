import { chordLikelihood, lowNoteChances, type StrokeKind, soundingOdds } from './chord-odds.js';
import type { ExpectedChord } from './expected.js';
import { InstrumentOffset } from './instrument-offset.js';
import { PitchEar } from './pitch-levels.js';

/** How much less likely than the likeliest each chord of a song is, as logarithms by name, 0 at most; `null` when a stroke has no notes. */
export type ChordGuess = ReadonlyMap<string, number> | null;

/** What has less than this of its spectrum on notes says nothing about its chord: the noise of a pick on damped strings has a fifth. */
const leastTonal = 0.2;

/** Guesses which chord of a song a stroke may be, where it is not known yet which is expected. */
export class ChordGuesser {
  private readonly pitches: PitchEar;
  private readonly tuning = new InstrumentOffset();
  private readonly chords: readonly ExpectedChord[];
  private readonly low: number;
  private readonly high: number;

  /** `rate`: samples a second; `chords`: those of the song, each name counts once. */
  constructor(rate: number, chords: readonly ExpectedChord[]) {
    this.pitches = new PitchEar(rate);
    this.chords = [...new Map(chords.map((chord) => [chord.name, chord])).values()];
    const notes = this.chords.flatMap((chord) => chord.notes);
    this.low = Math.min(60, ...notes) - 4;
    this.high = Math.max(72, ...notes) + 6;
  }

  /** The stroke whose attack is at a sample of the sound, which has a tenth of a second before and after it. */
  guess(samples: Float32Array, attack: number, kind: StrokeKind): ChordGuess {
    const { pitches, tuning } = this;
    pitches.look(samples, attack);
    tuning.add(pitches.spectrum.peaks(300, 3000));
    const range = { low: this.low, high: this.high, cents: tuning.cents };
    const { shares, tonal } = pitches.levels(samples, attack, range);
    if (tonal < leastTonal) return null;
    const odds = soundingOdds(shares, kind);
    const logs = this.chords.map((chord) =>
      kind === 'low' ? lowLikelihood(odds, chord) : chordLikelihood(odds, chord, kind),
    );
    const most = Math.max(...logs);
    return new Map(this.chords.map(({ name }, index) => [name, (logs[index] as number) - most]));
  }
}

/** Of a low note one pitch class sounds, whichever it is. */
function lowLikelihood(odds: Float64Array, chord: ExpectedChord): number {
  const chances = lowNoteChances(chord);
  return Math.log(
    chances.reduce((sum, chance, pitchClass) => sum + chance * Math.exp(odds[pitchClass] as number), 0),
  );
}
