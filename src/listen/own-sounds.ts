import { Room } from './room.js';

/** A sound that this program itself makes: which, the sample of the recording at which it is due, how strong (1: as its samples are). */
export interface OwnSound {
  readonly sample: number;
  readonly sound: string;
  readonly level: number;
  /** Samples until it is damped; to its end where absent. */
  readonly length?: number;
  /** Nobody plays while it sounds, as in a count-in: the way through the room is best learnt then. */
  readonly alone?: boolean;
}

interface Piece {
  /** Sample of the recording at which its block begins. */
  readonly begin: number;
  /** Sample at which the whole sound is due. */
  readonly due: number;
  readonly dry: Float32Array;
  /** How much later than its block says it is due, in parts of a sample. */
  readonly shift: number;
  /** Made when it is first needed. */
  spectrum: readonly number[] | null;
  readonly level: number;
  readonly alone: boolean;
  /** The room is learnt from it: only from how a sound begins, where nothing that went wrong before is still heard. */
  readonly teaches: boolean;
  heard: { samples: Float32Array; doubt: Float32Array | null; unsure: number } | null;
}

/** How long a note that is damped takes to fall silent, seconds. */
const dampSeconds = 0.004;
/** Before the room is known, a sound may be this many times as strong as its samples; one that is due alone is never taken for a stroke. */
const unheard = 2;
const unheardAlone = 1000;
/**
 * From sound to sound the loudspeaker is not quite alike, and a sound card's time, known from outside, is uncertain by a part of a sample,
 * seconds: what is predicted is wrong by such a share of itself, and of its slope.
 */
const inexact = 0.05;
const untimely = 5e-6;
/** How many times as strong as usual the rest of an own sound may be estimated: at least, at most, and before anything is known of it. */
const [leastLeft, mostLeft, firstLeft] = [1, 10, 1.5];
/** What was measured before counts so much beside a sound that left less. */
const leftStays = 0.8;

/**
 * Takes the program's own click and bass out of what the microphone hears. When and what they are is known; what the loudspeaker, the
 * room and the microphone make of them is learnt from one to the next, quickest in a count-in. Sounds are announced before they sound.
 */
export class OwnSounds {
  private room: Room;
  /** How many times as strong as usual what is left of own sounds was lately. */
  private mismatch = firstLeft;
  /** Of sounds that fit into one piece. */
  private readonly spectra = new Map<string, readonly number[]>();
  private pieces: Piece[] = [];
  /** The recording so far, of which what pieces still need is kept. */
  private kept = new Float32Array(0);
  private begin = 0;

  /** `sounds`: samples of each at `rate`, as they leave the program. */
  constructor(
    private readonly rate: number,
    private readonly sounds: Readonly<Record<string, Float32Array>>,
  ) {
    this.room = new Room(rate);
  }

  /** Learns from what was heard before, beginning with a sample of the recording, and from the sounds that were in it. */
  learnFrom(samples: Float32Array, begin: number, sounds: readonly OwnSound[]): void {
    const past = new OwnSounds(this.rate, this.sounds);
    past.room = this.room;
    past.begin = begin;
    for (const sound of sounds) past.expect(sound);
    const step = this.room.lead * 4;
    for (let at = 0; at < samples.length; at += step) past.taken(samples.subarray(at, at + step));
    this.mismatch = past.mismatch;
  }

  /** Announces a sound; one whose samples are not known is ignored. */
  expect({ sample, sound, level, length, alone = false }: OwnSound): void {
    const samples = this.damped(this.sounds[sound] ?? new Float32Array(0), length);
    const due = Math.round(sample);
    const { piece, lead } = this.room;
    for (let at = 0; at < samples.length; at += piece) {
      const dry = samples.subarray(at, at + piece);
      const whole = samples.length <= piece && length === undefined ? this.spectrumOf(sound, dry) : null;
      this.pieces.push({
        begin: due + at - lead,
        due,
        spectrum: whole && shifted(whole, sample - due),
        shift: sample - due,
        dry,
        level,
        alone,
        teaches: at === 0,
        heard: null,
      });
    }
  }

  /** Sounds that are due at a sample or after it are not made after all. */
  withdraw(sample: number): void {
    this.pieces = this.pieces.filter(({ due }) => due < sample);
  }

  /** What is left of the next samples of the recording, and how strong what could not be taken away may still be. */
  taken(samples: Float32Array): { left: Float32Array; rest: Float32Array | null } {
    const from = this.begin + this.kept.length;
    const to = from + samples.length;
    const left = samples.slice();
    let rest: Float32Array | null = null;
    for (const piece of this.pieces) {
      if (piece.begin >= to) continue;
      piece.heard ??=
        this.room.learnt === 0
          ? { samples: this.dry(piece), doubt: null, unsure: piece.alone ? unheardAlone : unheard }
          : this.foretold(this.spectrum(piece));
      const { samples: heard, doubt, unsure } = piece.heard;
      const unlearnt = unsure > 1;
      const [first, last] = [Math.max(from, piece.begin), Math.min(to, piece.begin + heard.length)];
      if (first >= last) continue;
      rest ??= new Float32Array(samples.length);
      for (let at = first; at < last; at += 1) {
        const value = piece.level * (heard[at - piece.begin] as number);
        if (!unlearnt) left[at - from] = (left[at - from] as number) - value;
        // Anything predicted before the sound is due is only noise that was learnt.
        const wrong =
          at < piece.begin + this.room.lead
            ? value
            : Math.max(unsure, this.mismatch * inexact) * value +
              this.mismatch * piece.level * (doubt?.[at - piece.begin] ?? 0);
        rest[at - from] = (rest[at - from] as number) + wrong;
      }
    }
    this.keep(left);
    this.learn();
    return { left, rest };
  }

  private dry({ dry }: Piece): Float32Array {
    const { size, lead, echo } = this.room;
    const block = new Float32Array(size);
    // Where the room is not known, an echo may come at any time: the sound is laid over itself again and again.
    for (let at = 0; at < echo; at += lead)
      for (let index = 0; index < dry.length; index += 1)
        block[lead + at + index] = (block[lead + at + index] as number) + (dry[index] as number);
    return block;
  }

  /**
   * How well a sound was predicted. When it sounded alone all that is left is of it; else somebody may have played as well, and only
   * that it is no more is known.
   */
  private measure({ heard, alone }: Piece, left: Float64Array): void {
    if (!heard?.doubt) return;
    let [usual, rest] = [1e-20, 0];
    heard.doubt.forEach((value, at) => {
      usual += value * value;
      rest += (left[at] as number) ** 2;
    });
    const times = Math.sqrt(rest / usual);
    const less = leftStays * this.mismatch + (1 - leftStays) * times;
    if (alone || times < this.mismatch)
      this.mismatch = Math.max(leastLeft, Math.min(mostLeft, alone ? Math.max(times, less) : less));
  }

  /** A sound that is damped after this many samples. */
  private damped(samples: Float32Array, length = samples.length): Float32Array {
    const fade = Math.round(dampSeconds * this.rate);
    if (length + fade >= samples.length) return samples;
    const short = samples.slice(0, Math.max(0, Math.round(length)) + fade);
    for (let at = 1; at <= fade; at += 1)
      short[short.length - at] = ((short[short.length - at] as number) * (at - 1)) / fade;
    return short;
  }

  private foretold(spectrum: readonly number[]): Exclude<Piece['heard'], null> {
    const { samples, unsure } = this.room.heard(spectrum);
    const late = untimely * this.rate;
    const doubt = samples.map((value, at) => late * (value - (samples[at - 1] ?? 0)));
    return { samples, doubt, unsure };
  }

  private spectrum(piece: Piece): readonly number[] {
    piece.spectrum ??= shifted(this.room.spectrum(piece.dry), piece.shift);
    return piece.spectrum;
  }

  private spectrumOf(sound: string, dry: Float32Array): readonly number[] {
    const known = this.spectra.get(sound) ?? this.room.spectrum(dry);
    this.spectra.set(sound, known);
    return known;
  }

  private keep(left: Float32Array): void {
    const joined = new Float32Array(this.kept.length + left.length);
    joined.set(this.kept);
    joined.set(left, this.kept.length);
    const end = this.begin + joined.length;
    const needed = Math.max(this.begin, end - 3 * this.room.size);
    this.kept = joined.slice(needed - this.begin);
    this.begin = needed;
  }

  /** Learns from the pieces that have been heard to their end, and forgets them. */
  private learn(): void {
    const { size } = this.room;
    const end = this.begin + this.kept.length;
    for (const piece of this.pieces) {
      if (piece.begin + size > end || piece.begin < this.begin) continue;
      if (piece.level <= 0 || !piece.teaches) continue;
      const block = (begin: number): Float64Array =>
        Float64Array.from(
          { length: size },
          (_, index) => (this.kept[begin - this.begin + index] ?? 0) / piece.level,
        );
      const left = block(piece.begin);
      // A long sound goes on in its next piece, of which nothing is to be learnt here.
      const long = piece.dry.length === this.room.piece;
      if (long) left.fill(0, this.room.lead + this.room.piece);
      this.measure(piece, left);
      const calm = piece.alone && !long && piece.begin - size >= this.begin;
      this.room.learn(this.spectrum(piece), left, calm ? block(piece.begin - size) : null);
    }
    this.pieces = this.pieces.filter((piece) => piece.begin + size > end);
  }
}

/** The spectrum of a sound that comes this many samples later, less than one. */
function shifted(spectrum: readonly number[], by: number): readonly number[] {
  const size = spectrum.length / 2;
  const made = new Array<number>(spectrum.length);
  const [turnReal, turnImaginary] = [
    Math.cos((2 * Math.PI * by) / size),
    -Math.sin((2 * Math.PI * by) / size),
  ];
  let [real, imaginary] = [1, 0];
  for (let bin = 0; bin <= size / 2; bin += 1) {
    const [a, b] = [spectrum[2 * bin] as number, spectrum[2 * bin + 1] as number];
    made[2 * bin] = a * real - b * imaginary;
    made[2 * bin + 1] = a * imaginary + b * real;
    // The other half is the mirror of it: the sound is real.
    const mirror = (size - bin) % size;
    if (mirror !== bin) {
      made[2 * mirror] = made[2 * bin] as number;
      made[2 * mirror + 1] = -(made[2 * bin + 1] as number);
    }
    [real, imaginary] = [
      real * turnReal - imaginary * turnImaginary,
      real * turnImaginary + imaginary * turnReal,
    ];
  }
  return made;
}
