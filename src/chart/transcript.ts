import { stringify } from 'yaml';
import { type Key, keyName } from '../theory/key.js';
import { type Meter, meterText, type Tempo, tempoText } from './chart.js';
import { mostWithDots, neededDots, sharesEvenly } from './shares.js';

/** A chord as somebody calls it: a degree of the major scale, and what is said about it. */
export interface CalledChord {
  /** 1 to 7. */
  readonly degree: number;
  readonly alter: -1 | 0 | 1;
  readonly minor: boolean;
  readonly seventh: boolean;
}

/** What was called for a bar; `null` where nothing was: the chord before goes on. */
export type CalledBar = { readonly chords: readonly CalledChord[] } | null;

/** What was written down while a count ran. */
export interface Transcript {
  readonly bars: readonly CalledBar[];
  /** Whether the next chord shares its bar with what stands there, instead of taking its place. */
  readonly split: boolean;
  /** The bar that was written last; what is said about a chord is said about its last one. */
  readonly last: number | null;
}

/** A key while writing down: a degree for a bar, or something about the chord that was written last. */
export type Call =
  | { readonly kind: 'degree'; readonly degree: number; readonly bar: number }
  | { readonly kind: 'minor' | 'seventh' | 'flat' | 'sharp' | 'split' | 'erase' };

/** Nothing was called yet. */
export const emptyTranscript: Transcript = { bars: [], split: false, last: null };

/** The most chords that share a bar where it has room for them. */
const mostInBar = 4;
/** Bars on a line of the chart. */
const barsInLine = 4;

/** The most chords that are called in a bar of a meter. */
export function mostCalled(meter: Meter): number {
  return Math.min(mostInBar, mostWithDots(meter));
}

/** What is written down after another key, where bars have a meter. */
export function transcribe(transcript: Transcript, key: Call, meter: Meter): Transcript {
  switch (key.kind) {
    case 'degree':
      return withDegree(transcript, key, mostCalled(meter));
    case 'split':
      return { ...transcript, split: !transcript.split };
    case 'erase':
      return erased(transcript);
    case 'minor':
      return withLast(transcript, (chord) => ({ ...chord, minor: !chord.minor }));
    case 'seventh':
      return withLast(transcript, (chord) => ({ ...chord, seventh: !chord.seventh }));
    case 'flat':
      return withLast(transcript, (chord) => ({ ...chord, alter: chord.alter === -1 ? 0 : -1 }));
    case 'sharp':
      return withLast(transcript, (chord) => ({ ...chord, alter: chord.alter === 1 ? 0 : 1 }));
  }
}

function withDegree(
  transcript: Transcript,
  { degree, bar }: Extract<Call, { kind: 'degree' }>,
  most: number,
): Transcript {
  const chord: CalledChord = { degree, alter: 0, minor: false, seventh: false };
  const here = transcript.bars[bar] ?? null;
  // If a bar without a call is split, the chord before lasts for its first part.
  const before = here?.chords ?? held(transcript.bars, bar);
  const shares = transcript.split && before.length > 0 && before.length < most;
  return {
    bars: put(transcript.bars, bar, { chords: shares ? [...before, chord] : [chord] }),
    split: false,
    last: bar,
  };
}

/** The chord that goes on into a bar, as a list; empty at the beginning. */
function held(bars: readonly CalledBar[], bar: number): readonly CalledChord[] {
  return (
    bars
      .slice(0, bar)
      .findLast((one) => one !== null)
      ?.chords.slice(-1) ?? []
  );
}

function put(bars: readonly CalledBar[], bar: number, value: CalledBar): readonly CalledBar[] {
  const next = Array.from({ length: Math.max(bars.length, bar + 1) }, (_, index) => bars[index] ?? null);
  next[bar] = value;
  return next;
}

function withLast(transcript: Transcript, change: (chord: CalledChord) => CalledChord): Transcript {
  const chords = transcript.last === null ? undefined : transcript.bars[transcript.last]?.chords;
  const chord = chords?.at(-1);
  if (transcript.last === null || !chords || !chord) return transcript;
  return {
    ...transcript,
    bars: put(transcript.bars, transcript.last, { chords: [...chords.slice(0, -1), change(chord)] }),
  };
}

function erased(transcript: Transcript): Transcript {
  const at = transcript.last ?? -1;
  const chords = transcript.bars[at]?.chords;
  if (!chords) return { ...transcript, split: false };
  const rest = chords.slice(0, -1);
  const bars = put(transcript.bars, at, rest.length > 0 ? { chords: rest } : null);
  const last = bars.findLastIndex((bar) => bar !== null);
  return { bars, split: false, last: rest.length > 0 ? at : last < 0 ? null : last };
}

/** A called chord in the chart's notation: `6-`, `b7`, `2-^7`. */
export function calledNumber({ degree, alter, minor, seventh }: CalledChord): string {
  const sign = alter < 0 ? 'b' : alter > 0 ? '#' : '';
  return `${sign}${degree}${minor ? '-' : ''}${seventh ? '^7' : ''}`;
}

/** What a chart is made from. */
export interface TranscriptHead {
  readonly title: string;
  readonly key: Key;
  readonly tempo: Tempo;
  readonly meter: Meter;
  readonly transcript: Transcript;
}

/**
 * The text of a chart with what was written down, four bars a line, the last line filled up; `null` when nothing was.
 * A bar in which nothing was called repeats the chord before: after a shared bar, its last one. Chords that do not share their
 * bar evenly are given beats by dots, the first ones more; what a bar has no room for comes after its line.
 */
export function transcriptChart({ title, key, tempo, meter, transcript }: TranscriptHead): string | null {
  const last = transcript.bars.findLastIndex((bar) => bar !== null);
  if (last < 0) return null;
  const count = Math.ceil((last + 1) / barsInLine) * barsInLine;
  let goesOn: CalledChord | null = null;
  const words = Array.from({ length: count }, (_, index) => {
    const bar = transcript.bars[index] ?? null;
    const text = bar
      ? barText(bar.chords.slice(0, roomFor(bar.chords.length, meter)), meter)
      : goesOn
        ? calledNumber(goesOn)
        : 'nc';
    goesOn = bar?.chords.at(-1) ?? goesOn;
    return text;
  });
  const lines = Array.from({ length: count / barsInLine }, (_, line) => {
    const from = line * barsInLine;
    const over = transcript.bars.slice(from, from + barsInLine).flatMap((bar, index) => {
      const left = bar?.chords.slice(roomFor(bar.chords.length, meter)) ?? [];
      return left.length > 0 ? [`bar ${from + index + 1} also had ${left.map(calledNumber).join(' ')}`] : [];
    });
    const bars = words.slice(from, from + barsInLine).join(' ');
    return over.length > 0 ? `${bars} ; ${over.join(', ')}` : bars;
  });
  return [
    stringify({ title }, { lineWidth: 0 }).trimEnd(),
    `key: ${keyName(key)}`,
    `tempo: ${tempoText(tempo)}`,
    `meter: ${meterText(meter)}`,
    'sections:',
    '  A: |',
    ...lines.map((line) => `    ${line}`),
    '',
  ].join('\n');
}

/** How many of some chords a bar has room for. */
function roomFor(count: number, meter: Meter): number {
  return sharesEvenly(count, meter) ? count : Math.min(count, mostWithDots(meter));
}

function barText(chords: readonly CalledChord[], meter: Meter): string {
  const dots = neededDots(chords.length, meter);
  const texts = chords.map((chord, index) => calledNumber(chord) + '.'.repeat(dots?.[index] ?? 0));
  return texts.length === 1 ? (texts[0] as string) : `(${texts.join(' ')})`;
}
