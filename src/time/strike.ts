import type { PlayedBar, PlayedCell } from '../chart/chart.js';
import type { MidiNote } from '../theory/pitch.js';
import type { NoteEvent, Voice } from './event.js';
import type { Pattern } from './pattern.js';
import { beatTick, eighth } from './place.js';
import type { Sound } from './sound.js';
import type { Stroke, StrokeEnding } from './stroke.js';
import { ticksPerQuarter } from './units.js';

/** Between the end of a sustained note and the next stroke, ticks. */
export const breath = ticksPerQuarter / 24;

/** A stroke of a cell. */
export interface Struck extends Stroke {
  /** Felt beats until the stroke is stopped, when nothing stops it sooner. */
  readonly until: number;
}

/**
 * The strokes a cell gets: the pattern's within it; one only when it rings or stops; an early one moved. An ending goes before
 * what is marked at its chord.
 */
export function cellStrokes(
  bar: PlayedBar,
  cell: PlayedCell,
  end: number,
  strokes: readonly Stroke[],
  pattern: Pattern,
): Struck[] {
  // A pattern that strikes nothing and no change either is a rest, whatever the chart marks.
  if (pattern.change === null && strokes.length === 0) return [];
  // The chord after it comes so early that nothing is left of this one.
  if (end <= cell.at - (cell.early ? eighth(bar) : 0) + 1e-9) return [];
  const first = strokes.find((stroke) => Math.abs(stroke.at - cell.at) < 1e-9);
  const struck = (ending: StrokeEnding): Stroke => ({
    at: cell.at,
    direction: 'down',
    courses: 'all',
    ending,
    loudness: 96,
  });
  const early = cell.early ? eighth(bar) : 0;
  if ((!pattern.ends || cell.hold !== undefined) && cell.ending !== 'plain') {
    const ending = cell.ending === 'ring' ? 'ring' : 'chop';
    return [{ ...struck(ending), at: cell.at - early, until: end }];
  }
  // A push is struck across the courses; a low note is what is on the beat.
  const pushed = cell.early && first?.courses === 'lowest';
  // A chord that comes where the pattern has no stroke is struck there, so that it is heard on its place.
  const opening =
    first && !pushed ? first : pushed || pattern.change !== null ? struck(pattern.change ?? 'chop') : null;
  const others = strokes.filter((stroke) => stroke.at > cell.at + 1e-9 && stroke.at < end - 1e-9);
  const all = [...(opening ? [{ ...opening, at: cell.at - early }] : []), ...others];
  return all.map((stroke, index) => ({ ...stroke, until: all[index + 1]?.at ?? end }));
}

function coursesOf(stroke: Stroke, tones: readonly MidiNote[]): readonly MidiNote[] {
  switch (stroke.courses) {
    case 'lowest':
      return tones.slice(0, 1);
    case 'lower-two':
      return tones.slice(0, 2);
    case 'upper-two':
      return tones.slice(-2);
    case 'all':
      return tones;
  }
}

/** What a stroke is played in: its bar, the tick at which that starts, and ms a tick. */
export interface StrokePlace {
  readonly bar: PlayedBar;
  readonly start: number;
  readonly perTick: number;
}

/** The notes of a stroke on the courses of a chord, bass side first. */
export function strokeNotes(
  stroke: Struck,
  tones: readonly MidiNote[],
  { bar, start: barStart, perTick }: StrokePlace,
  sound: Sound,
): NoteEvent[] {
  const struck = coursesOf(stroke, tones);
  const ordered = stroke.direction === 'down' ? struck : [...struck].reverse();
  const start = barStart + beatTick(stroke.at, bar);
  const stop = barStart + beatTick(stroke.until, bar);
  const longest = stop - start - breath;
  const length = stroke.ending === 'chop' ? Math.min(sound.chopMs / perTick, longest) : longest;
  const voice: Voice = stroke.courses === 'lowest' ? 'low' : 'chop';
  return ordered.map((note, index) => ({
    // Rounded down: no stroke takes longer than it was given.
    at: start + Math.floor((index * sound.spreadMs) / perTick + 1e-9),
    length: Math.max(1, Math.round(length)),
    voice,
    channel: sound.channels[voice],
    note,
    velocity: stroke.loudness,
  }));
}
