import type { Chord } from '../theory/chord.js';
import { pitchClass } from '../theory/pitch.js';
import type { Frets } from './fingering.js';
import { type Fret, fret, fretPlace, type Instrument } from './instrument.js';
import { heartOf, tonesOf } from './tones.js';

/** A way to sound a chord: its frets, and which of its tones are left out (half steps above the root). */
export interface Voicing {
  readonly frets: Frets;
  readonly leavesOut: readonly number[];
}

/** What voicings are looked for. */
export interface VoicingOptions {
  /** The widest stretch along the neck, mm from wire to wire. */
  readonly reach: number;
  readonly highestFret: number;
  /** Whether open courses may sound. */
  readonly open?: boolean;
  /** Whether forms without the root are wanted too; otherwise they come only when nothing else fits. */
  readonly rootless?: boolean;
}

/** The highest fret that is looked at unless told otherwise: beyond it short strings lose their bark (our limit). */
export const usualHighestFret = 12;

/** The fewest neighbouring courses a voicing takes. */
const fewestCourses = 3;

/**
 * All voicings of a chord: three or more neighbouring courses, the others damped, chord tones only, every
 * essential tone among them, within a reach. Complete, low courses and low frets first.
 */
export function voicings(chord: Chord, instrument: Instrument, options: VoicingOptions): readonly Voicing[] {
  const { essential } = tonesOf(chord.quality);
  const whole = search(chord, instrument, options, essential);
  if (whole.length > 0 && !options.rootless) return whole;
  const rootless = search(
    chord,
    instrument,
    options,
    essential.filter((step) => step !== 0),
  ).filter(({ leavesOut }) => leavesOut.includes(0));
  return [...whole, ...rootless];
}

/**
 * Voicings for a hand that does not reach whole ones. `heart`: two or three neighbouring courses that keep third and
 * seventh (or what stands for them), in triads root and third; `root`: the root and another tone, or the root alone.
 */
export function reducedVoicings(
  chord: Chord,
  instrument: Instrument,
  options: VoicingOptions,
  keeps: 'heart' | 'root',
): readonly Voicing[] {
  return keeps === 'heart'
    ? search(chord, instrument, options, heartOf(chord.quality), { fewest: 2, most: 3 })
    : search(chord, instrument, options, [0], { fewest: 1, most: 2 });
}

function search(
  chord: Chord,
  instrument: Instrument,
  options: VoicingOptions,
  needed: readonly number[],
  size: { readonly fewest: number; readonly most: number } = { fewest: fewestCourses, most: 99 },
): Voicing[] {
  const root = pitchClass(chord.root);
  const { essential, optional } = tonesOf(chord.quality);
  const steps = [...essential, ...optional];
  const count = instrument.courses.length;
  const places = instrument.courses.map(({ open }) => chordFrets(open, root, steps, instrument, options));
  const found: Voicing[] = [];
  for (let from = 0; from + size.fewest <= count; from += 1) {
    for (let to = from + size.fewest; to <= Math.min(count, from + size.most); to += 1) {
      walk(places.slice(from, to), instrument, options, (chosen) => {
        const sounding = new Set(chosen.map(({ step }) => step % 12));
        if (!needed.every((step) => sounding.has(step % 12))) return;
        const frets: (Fret | null)[] = Array.from({ length: count }, () => null);
        chosen.forEach(({ at }, index) => {
          frets[from + index] = at;
        });
        found.push({ frets, leavesOut: steps.filter((step) => !sounding.has(step % 12)) });
      });
    }
  }
  return found;
}

interface Place {
  readonly at: Fret;
  readonly step: number;
}

/** The frets of a course that sound a tone of the chord. */
function chordFrets(
  open: number,
  root: number,
  steps: readonly number[],
  instrument: Instrument,
  options: VoicingOptions,
): Place[] {
  const places: Place[] = [];
  const top = Math.min(options.highestFret, instrument.frets);
  for (let at = options.open ? 0 : 1; at <= top; at += 1) {
    const above = (((open + at - root) % 12) + 12) % 12;
    const step = steps.find((one) => one % 12 === above);
    if (step !== undefined) places.push({ at: fret(at), step });
  }
  return places;
}

/** Every choice of one place a course whose fretted ones lie within the reach. */
function walk(
  places: readonly (readonly Place[])[],
  instrument: Instrument,
  options: VoicingOptions,
  take: (chosen: readonly Place[]) => void,
): void {
  const chosen: Place[] = [];
  const step = (course: number, low: number, high: number): void => {
    if (course === places.length) {
      take(chosen);
      return;
    }
    for (const place of places[course] as readonly Place[]) {
      const open = place.at === 0;
      const nextLow = open ? low : Math.min(low, place.at);
      const nextHigh = open ? high : Math.max(high, place.at);
      if (nextHigh > 0 && stretch(instrument, nextLow, nextHigh) > options.reach) continue;
      chosen.push(place);
      step(course + 1, nextLow, nextHigh);
      chosen.pop();
    }
  };
  step(0, Number.POSITIVE_INFINITY, 0);
}

/** From the wire of one fret to that of another, mm. */
export function stretch(instrument: Instrument, low: number, high: number): number {
  return low >= high ? 0 : fretPlace(instrument, fret(high)) - fretPlace(instrument, fret(low));
}
