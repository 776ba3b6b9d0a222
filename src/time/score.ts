import { type PlayedBar, type PlayedCell, quartersPerBeat, quarterTempo } from '../chart/chart.js';
import { type MidiNote, midiNote } from '../theory/pitch.js';
import type { NoteEvent, Voice } from './event.js';
import { lowAndChop, type Pattern, type Stroke, strokesIn } from './pattern.js';
import { millisecondsPerTick, type Ticks, ticks, ticksPerQuarter } from './units.js';

/** One bar on the timeline of a pass. `beats` are the ticks of its felt beats, from the bar's start. */
export interface ScoreBar {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly beats: readonly Ticks[];
  /** Quarters a minute, before any share of the tempo. */
  readonly tempo: number;
}

/** A pass on the timeline: its bars, and the notes of each bar with ticks counted from the pass's start. */
export interface Score {
  readonly bars: readonly ScoreBar[];
  readonly notes: readonly (readonly NoteEvent[])[];
  readonly length: Ticks;
}

/** Sound of a voice. Notes of the click: General MIDI percussion 76 (high wood block) and 77 (low). */
export interface Sound {
  readonly channels: Readonly<Record<Voice, number>>;
  readonly accent: MidiNote;
  readonly beat: MidiNote;
  readonly accentLoudness: number;
  readonly beatLoudness: number;
  /** How long a chop lasts, ms. */
  readonly chopMs: number;
  /** From the first to the last course of a stroke, ms a course. */
  readonly spreadMs: number;
}

/** The sound that holds unless settings say otherwise: click on channel 10, the instrument on 1 and 2. */
export const usualSound: Sound = {
  channels: { click: 9, low: 0, chop: 1 },
  accent: midiNote(76),
  beat: midiNote(77),
  accentLoudness: 96,
  beatLoudness: 72,
  chopMs: 60,
  spreadMs: 3,
};

/** What the compiler is given beside the bars. */
export interface ScoreOptions {
  /** Notes of the chord that stands in a bar's cell, bass side first; empty when no shape is known. */
  readonly notesOf: (bar: number, cell: number) => readonly MidiNote[];
  readonly pattern?: Pattern;
  readonly sound?: Sound;
  /** Share of the tempo the pass will be played at, for what is given in milliseconds. */
  readonly share?: number;
}

/** Puts the bars of a pass on the timeline, with click and right-hand pattern. */
export function compileScore(bars: readonly PlayedBar[], options: ScoreOptions): Score {
  const placed: ScoreBar[] = [];
  let start = 0;
  for (const bar of bars) {
    const made = scoreBar(bar, ticks(start));
    placed.push(made);
    start += made.length;
  }
  const notes = bars.map((bar, index) => {
    const next = bars[(index + 1) % bars.length]?.cells[0];
    return barNotes(bar, index, placed[index] as ScoreBar, next, options);
  });
  return { bars: placed, notes, length: ticks(start) };
}

/** A bar's place. Each boundary is rounded from the bar's start, so nothing accumulates. */
export function scoreBar(bar: Pick<PlayedBar, 'beats' | 'meter' | 'tempo'>, start: Ticks): ScoreBar {
  const perBeat = quartersPerBeat(bar.meter) * ticksPerQuarter;
  const count = Math.ceil(bar.beats);
  return {
    start,
    length: ticks(bar.beats * perBeat),
    beats: Array.from({ length: count }, (_, beat) => ticks(beat * perBeat)),
    tempo: quarterTempo(bar.tempo),
  };
}

/** The click of one bar: the first beat accented. Also used for the count-in. */
export function clickNotes(bar: ScoreBar, sound: Sound = usualSound): NoteEvent[] {
  return bar.beats.map((beat, index) => ({
    at: bar.start + beat,
    length: ticksPerQuarter / 8,
    voice: 'click',
    channel: sound.channels.click,
    note: index === 0 ? sound.accent : sound.beat,
    velocity: index === 0 ? sound.accentLoudness : sound.beatLoudness,
  }));
}

function barNotes(
  bar: PlayedBar,
  index: number,
  placed: ScoreBar,
  next: PlayedCell | undefined,
  options: ScoreOptions,
): NoteEvent[] {
  const sound = options.sound ?? usualSound;
  const notes = clickNotes(placed, sound);
  const strokes = strokesIn(options.pattern ?? lowAndChop, bar.meter);
  bar.cells.forEach((cell, cellIndex) => {
    const tones = options.notesOf(index, cellIndex);
    if (tones.length === 0) return;
    const follower = bar.cells[cellIndex + 1] ?? next;
    const end = cell.at + cell.beats - (follower?.early ? eighth(bar) : 0);
    for (const struck of cellStrokes(bar, cell, end, strokes)) {
      notes.push(...strokeNotes(struck, tones, bar, placed, sound, options.share ?? 1));
    }
  });
  return notes;
}

interface Struck extends Stroke {
  /** Felt beats until the stroke is stopped, when nothing stops it sooner. */
  readonly until: number;
}

/** The strokes a cell gets: the pattern's within it; one only when it rings or stops; an early one moved. */
function cellStrokes(bar: PlayedBar, cell: PlayedCell, end: number, strokes: readonly Stroke[]): Struck[] {
  const first = strokes.find((stroke) => Math.abs(stroke.at - cell.at) < 1e-9);
  const full: Stroke = { at: cell.at, direction: 'down', courses: 'all', ending: 'ring', loudness: 96 };
  const early = cell.early ? eighth(bar) : 0;
  if (cell.ending !== 'plain') {
    const ending = cell.ending === 'ring' ? 'ring' : 'chop';
    return [{ ...full, at: cell.at - early, ending, until: end }];
  }
  // A chord that comes where the pattern has no stroke is chopped there, so that it is heard on its place.
  const opening: Stroke = first ?? { ...full, ending: 'chop' };
  const rest = strokes.filter((stroke) => stroke.at > cell.at + 1e-9 && stroke.at < end - 1e-9);
  const all = [{ ...opening, at: cell.at - early }, ...rest];
  return all.map((stroke, index) => ({ ...stroke, until: all[index + 1]?.at ?? end }));
}

function strokeNotes(
  stroke: Struck,
  tones: readonly MidiNote[],
  bar: PlayedBar,
  placed: ScoreBar,
  sound: Sound,
  share: number,
): NoteEvent[] {
  const struck =
    stroke.courses === 'lowest'
      ? tones.slice(0, 1)
      : stroke.courses === 'upper-two'
        ? tones.slice(-2)
        : tones;
  const ordered = stroke.direction === 'down' ? struck : [...struck].reverse();
  const perTick = millisecondsPerTick(placed.tempo * share);
  const start = placed.start + beatTick(stroke.at, bar);
  const stop = placed.start + beatTick(stroke.until, bar);
  const longest = stop - start - ticksPerQuarter / 24;
  const length = stroke.ending === 'chop' ? Math.min(sound.chopMs / perTick, longest) : longest;
  const voice: Voice = stroke.courses === 'lowest' ? 'low' : 'chop';
  return ordered.map((note, index) => ({
    at: start + Math.round((index * sound.spreadMs) / perTick),
    length: Math.max(1, Math.round(length)),
    voice,
    channel: sound.channels[voice],
    note,
    velocity: stroke.loudness,
  }));
}

/** An eighth in felt beats: how early an early chord comes. */
function eighth(bar: PlayedBar): number {
  return 0.5 / quartersPerBeat(bar.meter);
}

/** A place in a bar in ticks: the off-beat eighth of an undivided beat is moved by the feel. */
function beatTick(at: number, bar: PlayedBar): number {
  const perBeat = quartersPerBeat(bar.meter) * ticksPerQuarter;
  const beat = Math.floor(at + 1e-9);
  const within = at - beat;
  const swung =
    Math.abs(within - 0.5) < 1e-9 && quartersPerBeat(bar.meter) === 1 ? bar.feel.swing / 100 : within;
  return Math.round((beat + swung) * perBeat);
}

/** Seconds a pass lasts at its own tempos. */
export function scoreSeconds(score: Score): number {
  return score.bars.reduce((sum, bar) => sum + bar.length * millisecondsPerTick(bar.tempo), 0) / 1000;
}
