import type { TunePitch } from '../../chart/tune/tune.js';
import { pitchHeight } from '../../chart/tune/tune-pitch.js';
import type { Key } from '../../theory/key.js';
import { type NumberChord, parseNumber } from '../../theory/number.js';
import { quality } from '../../theory/quality.js';

/** Half steps of the major scale's degrees above the tonic. */
const naturals = [0, 2, 4, 5, 7, 9, 11];
/** By how much each degree of a scale is raised above the major one; in minor as its signature has it. */
const scales: Readonly<Record<Key['mode'], readonly number[]>> = {
  major: [0, 0, 0, 0, 0, 0, 0],
  minor: [0, 0, -1, 0, 0, -1, -1],
};
/** How many letters above the root a tone of this many half steps is written. */
const letters: Readonly<Record<number, number>> = { 0: 0, 3: 2, 4: 2, 6: 4, 7: 4, 8: 4, 9: 5, 10: 6, 11: 6 };

/** The scale over a chord: each degree with what it is raised by, and whether the chord has it. The root comes first. */
export interface ChordScale {
  /** By degree, from 1 at 0. */
  readonly alters: readonly number[];
  /** Degrees of the chord, the root first. */
  readonly tones: readonly number[];
}

/**
 * The scale that a tune has over a chord: that of the key, with the chord's own notes in place of those that are on the same letter, so
 * that over 2^7 the fourth degree is raised. Throws where the text is not a number.
 */
export function chordScale(text: string, mode: Key['mode']): ChordScale {
  const read = parseNumber(text);
  if (!read.ok) throw new RangeError(text);
  const { degree, alter, quality: id }: NumberChord = read.value;
  const root = (naturals[degree - 1] as number) + alter;
  const alters = [...scales[mode]];
  const tones: number[] = [];
  for (const step of quality(id).steps) {
    const above = letters[step];
    if (above === undefined) continue;
    const place = degree - 1 + above;
    const natural = (naturals[place % 7] as number) + 12 * Math.floor(place / 7);
    alters[place % 7] = root + step - natural;
    tones.push((place % 7) + 1);
  }
  return { alters, tones };
}

/** A place of a scale as a pitch: 0 is the tonic of octave 0, 7 the one above. */
export function scalePitch({ alters }: ChordScale, place: number): TunePitch {
  const degree = ((place % 7) + 7) % 7;
  return { degree: degree + 1, alter: alters[degree] as number, octave: Math.floor(place / 7) };
}

/** The chord's notes that lie from one height to another, half steps above the tonic, lowest first. */
export function tonesWithin(scale: ChordScale, low: number, high: number): readonly TunePitch[] {
  return Array.from({ length: 29 }, (_, at) => scalePitch(scale, at - 14)).filter((pitch) => {
    const height = pitchHeight(pitch);
    return scale.tones.includes(pitch.degree) && height >= low && height <= high;
  });
}

/**
 * The note of the scale that leads from one pitch to another by steps of a whole tone at most: the one between, or where it is the same pitch
 * its neighbour on a side. `null` where there is none.
 */
export function leading(scale: ChordScale, from: TunePitch, to: TunePitch, side: 1 | -1): TunePitch | null {
  const [here, there] = [placeOf(from), placeOf(to)];
  const apart = Math.abs(pitchHeight(from) - pitchHeight(to));
  if (apart === 0) return stepFrom(scale, here + side, [from]);
  return apart === 3 || apart === 4 ? stepFrom(scale, Math.round((here + there) / 2), [from, to]) : null;
}

function stepFrom(scale: ChordScale, place: number, ends: readonly TunePitch[]): TunePitch | null {
  const plain = scalePitch(scale, place);
  // Between 5 and a raised 7 the sixth is raised as well, as a melodic minor has it.
  return (
    [plain, { ...plain, alter: plain.alter + 1 }, { ...plain, alter: plain.alter - 1 }].find((pitch) =>
      ends.every((end) => {
        const step = Math.abs(pitchHeight(pitch) - pitchHeight(end));
        return step === 1 || step === 2;
      }),
    ) ?? null
  );
}

function placeOf({ degree, octave }: TunePitch): number {
  return 7 * octave + degree - 1;
}
