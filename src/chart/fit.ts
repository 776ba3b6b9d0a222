import { good, misread, type Outcome } from '../base/outcome.js';
import { quoted } from '../base/safe-text.js';
import { usualKeys } from '../theory/capo.js';
import type { Key } from '../theory/key.js';
import { type MidiNote, noteNumber, pitchClass } from '../theory/pitch.js';
import type { Chart } from './chart.js';
import { height } from './read-head.js';
import { playedTune } from './tune/play-tune.js';
import { sungRange } from './tune/tune-range.js';
import { unroll } from './unroll.js';

/** What a voice can sing, both included. */
export interface VoiceRange {
  readonly low: MidiNote;
  readonly high: MidiNote;
}

/** A key in which a song fits a voice, with the half steps left below the lowest and above the highest note. */
export interface Fit {
  readonly key: Key;
  readonly below: number;
  readonly above: number;
}

/** Reads a voice's range: `A3-D5`. */
export function parseVoiceRange(text: string): Outcome<VoiceRange> {
  const [first = '', second = ''] = text.trim().split(/\s*-\s*/);
  const low = noteNumber(first);
  const high = noteNumber(second);
  if (low !== null && high !== null && low < high) return good({ low, high });
  return misread(
    `${quoted(text)} is not the range of a voice; write its lowest and highest note, as in A3-D5`,
  );
}

/**
 * The keys in which a chart's sung range, written or that of its tune, lies within a voice, the most comfortable first: those that leave
 * most room at the tighter end. Empty when the chart has neither, or when none fits.
 */
export function keysThatFit(chart: Chart, voice: VoiceRange): readonly Fit[] {
  const range = sungRange(chart);
  if (!range) return [];
  const low = height(range.low);
  const high = height(range.high);
  const fits = usualKeys(chart.key.mode).flatMap((key): Fit[] => {
    const tonics = Array.from({ length: 11 }, (_, octave) => pitchClass(key.tonic) + 12 * octave);
    const octaves = tonics.map((tonic) => ({
      key,
      below: tonic + low - voice.low,
      above: voice.high - tonic - high,
    }));
    const best = octaves.filter(({ below, above }) => below >= 0 && above >= 0).sort(byComfort)[0];
    return best ? [best] : [];
  });
  return fits.sort(byComfort);
}

/**
 * Half steps by which the tune is moved for a voice in a key: whole octaves, none where it lies within the voice; else those
 * with the fewest half steps outside it, and of those the fewest. Without a voice it stays where it is written.
 */
export function tuneShift(chart: Chart, key: Key, voice: VoiceRange | null): number {
  const notes = voice ? playedTune(chart, unroll(chart, { key, final: true }).bars, { home: key }) : [];
  const [first] = notes;
  if (!voice || !first) return 0;
  const low = notes.reduce((least, { pitch }) => Math.min(least, pitch), first.pitch);
  const high = notes.reduce((most, { pitch }) => Math.max(most, pitch), first.pitch);
  const outside = (shift: number): number =>
    Math.max(0, voice.low - low - shift) + Math.max(0, high + shift - voice.high);
  const shifts = [0, -12, 12, -24, 24, -36, 36].filter((shift) => low + shift >= 0 && high + shift <= 127);
  return shifts.reduce((best, shift) => (outside(shift) < outside(best) ? shift : best), 0);
}

function byComfort(one: Fit, other: Fit): number {
  return Math.min(other.below, other.above) - Math.min(one.below, one.above);
}
