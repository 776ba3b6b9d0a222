import type { Chart, PlayedBar } from '../../chart/chart.js';
import { quartersPerBeat } from '../../chart/chart.js';
import { playedTune } from '../../chart/tune/play-tune.js';
import { partsPerQuarter } from '../../chart/tune/tune.js';
import { type Key, sameKey } from '../../theory/key.js';
import { type NumberChord, parseNumber } from '../../theory/number.js';
import { pitchClass } from '../../theory/pitch.js';
import { quality } from '../../theory/quality.js';
import { isSameChord } from './answer-key.js';
import type { Question } from './questions.js';

/** A note of the tune while a chord holds. */
export interface SpanNote {
  /** Half steps above the tonic of the key, from 0 to 11. */
  readonly step: number;
  /** How long it sounds there, in felt beats. */
  readonly beats: number;
  /** It sounds when a felt beat falls. */
  readonly onBeat: boolean;
}

/** A note that sounds on a felt beat weighs twice as much for each beat that it lasts: there a chord is struck. */
const beatWeight = 2;
/** Sums of parts of beats may be off by this much. */
const fuzz = 1e-6;

/** The half steps of the degrees of a major scale above its tonic. */
const scale = [0, 2, 4, 5, 7, 9, 11];

/** The half steps above the tonic that a chord has. */
export function chordSteps({ degree, alter, quality: id }: NumberChord): ReadonlySet<number> {
  const root = (scale[degree - 1] as number) + alter;
  return new Set(quality(id).steps.map((step) => (((root + step) % 12) + 12) % 12));
}

/**
 * Whether another chord fits the tune where one is written. It does where it has every note of the tune that sounds on a felt beat while
 * the written chord holds; or where it carries as much of the tune as the written one, by length, what sounds on a felt beat twice. Where
 * the tune is silent nothing but the written chord fits.
 */
export function fitsTune(answer: string, written: string, notes: readonly SpanNote[]): boolean {
  if (isSameChord(answer, written)) return true;
  const [one, other] = [parseNumber(answer), parseNumber(written)];
  if (!one.ok || !other.ok || notes.length === 0) return false;
  const own = chordSteps(one.value);
  const onBeats = notes.filter(({ onBeat }) => onBeat);
  if (onBeats.length > 0 && onBeats.every(({ step }) => own.has(step))) return true;
  const carried = carries(own, notes);
  return carried > fuzz && carried >= carries(chordSteps(other.value), notes) - fuzz;
}

function carries(steps: ReadonlySet<number>, notes: readonly SpanNote[]): number {
  return notes.reduce(
    (sum, { step, beats, onBeat }) => sum + (steps.has(step) ? beats * (onBeat ? beatWeight : 1) : 0),
    0,
  );
}

/** The notes of the tune while each of the chords holds that is asked for: up to the next change, or the end. */
export function notesUnder(
  chart: Chart,
  bars: readonly PlayedBar[],
  questions: readonly Question[],
): readonly (readonly SpanNote[])[] {
  const starts: number[] = [];
  let end = 0;
  for (const bar of bars) {
    starts.push(end);
    end += bar.beats;
  }
  const notes = playedTune(chart, bars, { home: chart.key }).flatMap((note) => {
    const bar = bars[Math.max(0, note.bar)];
    if (!bar) return [];
    const beat = partsPerQuarter * quartersPerBeat(bar.meter);
    const from = (starts[Math.max(0, note.bar)] ?? 0) + note.at / beat;
    return [{ from, to: from + note.parts / beat, step: stepOf(note.pitch, chart.key) }];
  });
  return questions.map(({ at }, index): SpanNote[] => {
    const until = questions[index + 1]?.at ?? end;
    return notes.flatMap(({ from, to, step }) => {
      const [begins, ends] = [Math.max(from, at), Math.min(to, until)];
      if (ends - begins <= fuzz) return [];
      return [{ step, beats: ends - begins, onBeat: Math.ceil(begins - fuzz) < ends - fuzz }];
    });
  });
}

function stepOf(pitch: number, key: Key): number {
  return (((pitch - pitchClass(key.tonic)) % 12) + 12) % 12;
}

/** Whether all bars are in the key of the chart: degrees then count from one tonic. */
export function isInOneKey(bars: readonly PlayedBar[], key: Key): boolean {
  return bars.every((bar) => sameKey(bar.key, key));
}
