import type { Performance } from '../../playback/performance.js';
import { chordName, chordTones, toChord } from '../../theory/chord.js';
import type { Key } from '../../theory/key.js';
import { parseNumber } from '../../theory/number.js';
import { midiNote } from '../../theory/pitch.js';
import { type ChordGuess, ChordGuesser } from '../chord-guess.js';
import type { ExpectedChord } from '../expected.js';
import type { StrokeHeard } from '../stroke-heard.js';

/** A chord that was played as an answer, by its number, and when it sounded, ms of the shared clock. */
export interface NamedChord {
  readonly kind: 'named-chord';
  readonly number: string;
  readonly at: number;
}

/** A chord counts as named when it is this likely among all candidates; the same as for the strokes of a pass. */
const sureFrom = 0.8;
/** Notes of any voicing on the instruments that are played here, MIDI. */
const lowest = 48;
const highest = 84;

/** Hears which of the chords that may be named a stroke is. Nothing is expected: no chord is likelier than another before it is heard. */
export class NamedChords {
  private guesser: ChordGuesser | null = null;
  private numbers: ReadonlyMap<string, string> = new Map();
  private madeFor: readonly [readonly string[], Key] | null = null;

  /** `rate`: samples a second of the strokes' clips. */
  constructor(private readonly rate: number) {}

  /** What is played has changed; `null`: nothing is, or nothing of it is named. */
  look(performance: Performance | null): void {
    const { answers, key } = performance?.setup ?? {};
    if (!answers || !key) {
      this.guesser = null;
      this.madeFor = null;
      return;
    }
    if (this.madeFor?.[0] === answers && this.madeFor[1] === key) return;
    this.madeFor = [answers, key];
    const chords = answers.flatMap((number): ExpectedChord[] => chordOf(number, key));
    this.numbers = new Map(chords.map(({ name, number }) => [name, number]));
    this.guesser = new ChordGuesser(this.rate, chords);
  }

  /** Whether chords are named now. */
  get listens(): boolean {
    return this.guesser !== null;
  }

  /** A stroke was heard that sounded `late` ms before. A low note does not name a chord, nor does a stroke that might be either of two. */
  stroke({ ms, clip, attack, stroke }: StrokeHeard, late: number): NamedChord[] {
    if (!this.guesser || stroke === 'low') return [];
    const name = surest(this.guesser.guess(clip, attack, stroke));
    const number = name === null ? undefined : this.numbers.get(name);
    return number === undefined ? [] : [{ kind: 'named-chord', number, at: ms - late }];
  }
}

function surest(guess: ChordGuess): string | null {
  if (!guess) return null;
  const weights = [...guess].map(([name, log]) => [name, Math.exp(log)] as const);
  const sum = weights.reduce((all, [, weight]) => all + weight, 0);
  return weights.find(([, weight]) => weight >= sureFrom * sum)?.[0] ?? null;
}

function chordOf(text: string, key: Key): ExpectedChord[] {
  const read = parseNumber(text);
  if (!read.ok) return [];
  const chord = toChord(read.value, key);
  const pitchClasses = chordTones(chord);
  const notes = Array.from({ length: highest - lowest }, (_, at) => lowest + at)
    .filter((note) => pitchClasses.includes(note % 12))
    .map(midiNote);
  return [{ name: chordName(chord), number: text, notes, pitchClasses }];
}
