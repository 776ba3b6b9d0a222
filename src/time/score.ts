import { type PlayedBar, type PlayedCell, quartersPerBeat, quarterTempo } from '../chart/chart.js';
import { chordName } from '../theory/chord.js';
import type { MidiNote } from '../theory/pitch.js';
import { bassNotes } from './bass.js';
import type { NoteEvent, Voice } from './event.js';
import { lowAndChop, type Pattern, type Stroke, type StrokeEnding, strokesIn } from './pattern.js';
import { type Sound, usualSound } from './sound.js';
import { millisecondsPerTick, type Ticks, ticks, ticksPerQuarter } from './units.js';

/** One bar on the timeline of a pass. Places within it are ticks from its start. */
export interface ScoreBar {
  readonly start: Ticks;
  readonly length: Ticks;
  /** The felt beats. */
  readonly beats: readonly Ticks[];
  /** Where the chops of the basic pattern fall. */
  readonly backbeats: readonly Ticks[];
  /** What divides the beats, where the feel has it. */
  readonly between: readonly Ticks[];
  /** Quarters a minute, before any share of the tempo. */
  readonly tempo: number;
}

/** A pass on the timeline: its bars, and the notes of each bar with ticks counted from the pass's start. The click is added when it is played. */
export interface Score {
  readonly bars: readonly ScoreBar[];
  readonly notes: readonly (readonly NoteEvent[])[];
  readonly length: Ticks;
}

/** What the compiler is given beside the bars. */
export interface ScoreOptions {
  /** Notes of the chord that stands in a bar's cell, bass side first; empty when no shape is known. */
  readonly notesOf: (bar: number, cell: number) => readonly MidiNote[];
  /** The pattern of a bar, where it is not the basic one. */
  readonly patternOf?: (bar: PlayedBar) => Pattern;
  readonly sound?: Sound;
  /** Share of the tempo the pass will be played at, for what is given in milliseconds. */
  readonly share?: number;
}

/** Puts the bars of a pass on the timeline: bass, low notes and chops. */
export function compileScore(bars: readonly PlayedBar[], options: ScoreOptions): Score {
  const placed: ScoreBar[] = [];
  let start = 0;
  for (const bar of bars) {
    const made = scoreBar(bar, ticks(start));
    placed.push(made);
    start += made.length;
  }
  const holds = chordHolds(bars, placed, options);
  const notes = bars.map((bar, index) => {
    const next = bars[(index + 1) % bars.length]?.cells[0];
    return barNotes(bar, index, placed[index] as ScoreBar, next, options, holds[index] ?? []);
  });
  endBassInTime(notes);
  return { bars: placed, notes, length: ticks(start) };
}

/** One bass plays one note at a time: where feel or meter change at a bar line, an early chord may come before its end. */
function endBassInTime(notes: NoteEvent[][]): void {
  let before: { list: NoteEvent[]; index: number } | null = null;
  for (const list of notes) {
    list.forEach((note, index) => {
      if (note.voice !== 'bass') return;
      const last = before?.list[before.index];
      if (before && last && last.at + last.length > note.at)
        before.list[before.index] = { ...last, length: Math.max(1, note.at - last.at) };
      before = { list, index };
    });
  }
}

/** A bar's place. Each boundary is rounded from the bar's start, so nothing accumulates. */
export function scoreBar(bar: Pick<PlayedBar, 'beats' | 'meter' | 'tempo' | 'feel'>, start: Ticks): ScoreBar {
  const perBeat = quartersPerBeat(bar.meter) * ticksPerQuarter;
  const beats = Array.from({ length: Math.ceil(bar.beats) }, (_, beat) => beat);
  const within = (at: number): boolean => at < bar.beats - 1e-9;
  const chops = strokesIn(lowAndChop, bar.meter).filter((stroke) => stroke.ending === 'chop');
  const thirds = quartersPerBeat(bar.meter) === 1.5;
  const between = beats.flatMap((beat) => (thirds ? [beat + 1 / 3, beat + 2 / 3] : [beat + 0.5]));
  return {
    start,
    length: ticks(bar.beats * perBeat),
    beats: beats.map((beat) => ticks(beat * perBeat)),
    backbeats: chops.filter(({ at }) => within(at)).map(({ at }) => ticks(beatTick(at, bar))),
    between: between.filter(within).map((at) => ticks(beatTick(at, bar))),
    tempo: quarterTempo(bar.tempo),
  };
}

/** How a cell hangs together with its neighbours where a pattern strikes changes only. */
interface Hold {
  /** The chord was struck before and rings on. */
  readonly held: boolean;
  /** Tick of the pass up to which it rings. */
  readonly until: number;
}

/** For every cell of a pass, where its chord goes on unchanged under a pattern that only rings. */
function chordHolds(
  bars: readonly PlayedBar[],
  placed: readonly ScoreBar[],
  { patternOf }: ScoreOptions,
): Hold[][] {
  const holds = bars.map((bar): Hold[] => bar.cells.map(() => ({ held: false, until: 0 })));
  let until = 0;
  let after: PlayedCell | null = null;
  let follower = bars[0]?.cells[0];
  for (let index = bars.length - 1; index >= 0; index -= 1) {
    const bar = bars[index] as PlayedBar;
    const rings = patternOf ? isRinging(patternOf(bar), bar) : false;
    for (let cell = bar.cells.length - 1; cell >= 0; cell -= 1) {
      const here = bar.cells[cell] as PlayedCell;
      const goesOn = rings && after !== null && isSameChord(here, after);
      const end = here.at + here.beats - (follower?.early ? eighth(bar) : 0);
      if (!goesOn) until = (placed[index] as ScoreBar).start + beatTick(end, bar);
      follower = here;
      (holds[index] as Hold[])[cell] = { held: false, until };
      if (goesOn) markHeld(holds, index, cell);
      after = rings ? here : null;
    }
  }
  return holds;
}

/** Marks the cell behind this one as held. */
function markHeld(holds: Hold[][], bar: number, cell: number): void {
  const row = holds[bar] as Hold[];
  const [list, index] = cell + 1 < row.length ? [row, cell + 1] : [holds[bar + 1] as Hold[], 0];
  list[index] = { ...(list[index] as Hold), held: true };
}

function isRinging(pattern: Pattern, bar: PlayedBar): boolean {
  return pattern.change === 'ring' && strokesIn(pattern, bar.meter).length === 0;
}

/** Whether a chord goes on into the next cell, with nothing marked there that would strike it anew. */
function isSameChord(one: PlayedCell, next: PlayedCell): boolean {
  if (!one.chord || !next.chord || next.early || next.ending !== 'plain' || one.ending !== 'plain')
    return false;
  return chordName(one.chord) === chordName(next.chord);
}

function barNotes(
  bar: PlayedBar,
  index: number,
  placed: ScoreBar,
  next: PlayedCell | undefined,
  options: ScoreOptions,
  holds: readonly Hold[],
): NoteEvent[] {
  const sound = options.sound ?? usualSound;
  const share = options.share ?? 1;
  const notes: NoteEvent[] = [];
  const pattern = options.patternOf?.(bar) ?? lowAndChop;
  const strokes = strokesIn(pattern, bar.meter);
  bar.cells.forEach((cell, cellIndex) => {
    const follower = bar.cells[cellIndex + 1] ?? next;
    const end = cell.at + cell.beats - (follower?.early ? eighth(bar) : 0);
    notes.push(...bassEvents(bar, cell, end, placed, sound));
    const tones = options.notesOf(index, cellIndex);
    const hold = holds[cellIndex];
    if (tones.length === 0 || hold?.held) return;
    const perBeat = quartersPerBeat(bar.meter) * ticksPerQuarter;
    const ringsTo = isRinging(pattern, bar) && hold ? (hold.until - placed.start) / perBeat : end;
    for (const struck of cellStrokes(bar, cell, ringsTo, strokes, pattern)) {
      notes.push(...strokeNotes(struck, tones, bar, placed, sound, share));
    }
  });
  return notes;
}

function bassEvents(
  bar: PlayedBar,
  cell: PlayedCell,
  end: number,
  placed: ScoreBar,
  sound: Sound,
): NoteEvent[] {
  return bassNotes(bar, cell, end).map(({ at, until, note, loudness }) => {
    const start = beatTick(at, bar);
    return {
      at: placed.start + start,
      length: Math.max(1, beatTick(until, bar) - start - breath),
      voice: 'bass',
      channel: sound.channels.bass,
      note,
      velocity: loudness,
    };
  });
}

/** Between the end of a sustained note and the next stroke, ticks. */
const breath = ticksPerQuarter / 24;

interface Struck extends Stroke {
  /** Felt beats until the stroke is stopped, when nothing stops it sooner. */
  readonly until: number;
}

/** The strokes a cell gets: the pattern's within it; one only when it rings or stops; an early one moved. */
function cellStrokes(
  bar: PlayedBar,
  cell: PlayedCell,
  end: number,
  strokes: readonly Stroke[],
  pattern: Pattern,
): Struck[] {
  // A pattern that strikes nothing and no change either is a rest, whatever the chart marks.
  if (pattern.change === null && strokes.length === 0) return [];
  const first = strokes.find((stroke) => Math.abs(stroke.at - cell.at) < 1e-9);
  const struck = (ending: StrokeEnding): Stroke => ({
    at: cell.at,
    direction: 'down',
    courses: 'all',
    ending,
    loudness: 96,
  });
  const early = cell.early ? eighth(bar) : 0;
  if (cell.ending !== 'plain') {
    const ending = cell.ending === 'ring' ? 'ring' : 'chop';
    return [{ ...struck(ending), at: cell.at - early, until: end }];
  }
  // A chord that comes where the pattern has no stroke is struck there, so that it is heard on its place.
  const opening = first ?? (pattern.change === null ? null : struck(pattern.change));
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

function strokeNotes(
  stroke: Struck,
  tones: readonly MidiNote[],
  bar: PlayedBar,
  placed: ScoreBar,
  sound: Sound,
  share: number,
): NoteEvent[] {
  const struck = coursesOf(stroke, tones);
  const ordered = stroke.direction === 'down' ? struck : [...struck].reverse();
  const perTick = millisecondsPerTick(placed.tempo * share);
  const start = placed.start + beatTick(stroke.at, bar);
  const stop = placed.start + beatTick(stroke.until, bar);
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

/** An eighth in felt beats: how early an early chord comes. */
function eighth(bar: PlayedBar): number {
  return 0.5 / quartersPerBeat(bar.meter);
}

/** A place in a bar in ticks: the off-beat eighth of an undivided beat is moved by the feel. */
function beatTick(at: number, bar: Pick<PlayedBar, 'meter' | 'feel'>): number {
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
