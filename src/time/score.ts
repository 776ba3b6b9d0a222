import { type PlayedBar, type PlayedCell, quartersPerBeat, quarterTempo } from '../chart/chart.js';
import { atLevel } from '../chart/level.js';
import type { MidiNote } from '../theory/pitch.js';
import { barStrokes } from './bar-strokes.js';
import { type BassBar, bassLine } from './bass-line.js';
import type { Ending } from './ending.js';
import type { NoteEvent } from './event.js';
import { chordHolds, type Hold, isRinging } from './holds.js';
import type { LeadBar } from './lead.js';
import { lowAndChop, type Pattern } from './pattern.js';
import { beatTick, eighth } from './place.js';
import { type Sound, usualSound } from './sound.js';
import { type ScoreStop, stopsOf, stretchedLength, stretchedNotes, stretchedTick } from './stretch.js';
import { breath, cellStrokes, strokeNotes } from './strike.js';
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
  /** Where its tempo changes within it: from a tick on, quarters a minute; the first from 0 on. */
  readonly tempos?: readonly { readonly at: number; readonly tempo: number }[];
  /** Where time waits: `length` has it as long as it takes where nobody gives the cue. */
  readonly stops?: readonly ScoreStop[];
  /** The bar as it would be without them: what is counted in before it. */
  readonly written?: ScoreBar;
}

/** A pass on the timeline: its bars, and the notes of each bar with ticks counted from the pass's start. The click is added when it is played. */
export interface Score {
  readonly bars: readonly ScoreBar[];
  readonly notes: readonly (readonly NoteEvent[])[];
  readonly length: Ticks;
  /**
   * For bars that end with a run of the bass into what comes next in the pass, their notes without it: played where the music
   * goes elsewhere, or ends. `null` for the other bars; absent where no bar has one.
   */
  readonly elsewhere?: readonly (readonly NoteEvent[] | null)[];
  /** The tune, bar by bar, where the chart has one. It is put to the notes when they are sent: what it has at a bar's end goes by what follows. */
  readonly lead?: readonly LeadBar[];
}

/** What the compiler is given beside the bars. */
export interface ScoreOptions {
  /** Notes of the chord that is in a bar's cell, bass side first; empty when no shape is known. */
  readonly notesOf: (bar: number, cell: number) => readonly MidiNote[];
  /** The pattern of a bar, by its index too, where it is not the basic one. */
  readonly patternOf?: (bar: PlayedBar, index: number) => Pattern;
  /** Whether the bass runs into the changes after a bar's chords. */
  readonly walks?: (bar: PlayedBar) => boolean;
  readonly sound?: Sound;
  /** Share of the tempo the pass will be played at, for what is given in milliseconds. */
  readonly share?: number;
}

/** Puts the bars of a pass on the timeline: bass, low notes and chops, each bar at its level. */
export function compileScore(bars: readonly PlayedBar[], options: ScoreOptions): Score {
  const placed: ScoreBar[] = [];
  let start = 0;
  for (const bar of bars) {
    const made = scoreBar(bar, ticks(start));
    placed.push(made);
    start += made.length;
  }
  placed.forEach((bar, index) => {
    const paced = pacedBar(bars[index] as PlayedBar, bar, bars[(index + 1) % bars.length]);
    if (paced !== bar) placed[index] = paced;
  });
  const { patternOf = () => lowAndChop, sound = usualSound, walks = () => false } = options;
  const patterns = bars.map(patternOf);
  const holds = chordHolds(bars, placed, patterns);
  const strokes = bars.map((bar, index) =>
    stretchedNotes(
      bar,
      (placed[index] as ScoreBar).start,
      barStrokeNotes(
        {
          bar,
          index,
          placed: placed[index] as ScoreBar,
          pattern: patterns[index] as Pattern,
          holds: holds[index] ?? [],
          next: bars[(index + 1) % bars.length]?.cells[0],
        },
        options,
      ),
    ),
  );
  // A chord that is held is the end by itself: no run goes on under it.
  const endingOf = (index: number): Ending | null =>
    hasHold(bars[index]) ? null : (patterns[index]?.ends ?? null);
  const withBass = (line: readonly BassBar[]): NoteEvent[][] => {
    const bass = bars.map((bar, index) =>
      stretchedNotes(
        bar,
        (placed[index] as ScoreBar).start,
        bassEvents(bar, (placed[index] as ScoreBar).start, line[index] as BassBar, sound),
      ),
    );
    endBassInTime(bass);
    return bars.map(({ level }, index) =>
      [...(bass[index] as NoteEvent[]), ...(strokes[index] as NoteEvent[])].map((note) =>
        level === null ? note : { ...note, velocity: atLevel(note.velocity, level) },
      ),
    );
  };
  const line = bassLine(bars, { walks, endingOf });
  const score = { bars: placed, notes: withBass(line), length: ticks(start) };
  if (!line.some(({ leads }) => leads)) return score;
  const plain = withBass(bassLine(bars, { walks: () => false, endingOf }));
  return { ...score, elsewhere: line.map(({ leads }, index) => (leads ? (plain[index] ?? null) : null)) };
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

function hasHold(bar: PlayedBar | undefined): boolean {
  return bar?.cells.some(({ hold }) => hold !== undefined) ?? false;
}

/** A placed bar with its tempos beat by beat, where they fall; the beat after a stop of the band is in the tempo of what comes. */
function pacedBar(bar: PlayedBar, placed: ScoreBar, next: PlayedBar = bar): ScoreBar {
  const { slowing, wait } = bar;
  if (slowing === undefined && wait === undefined) return placed;
  const own = slowing
    ? slowing.map((share, beat) => ({ at: placed.beats[beat] ?? 0, tempo: placed.tempo * share }))
    : [{ at: 0, tempo: placed.tempo }];
  const stop = placed.stops?.findLast(({ kind }) => kind === 'band');
  return {
    ...placed,
    tempos: stop
      ? [...own, { at: stop.from, tempo: quarterTempo(next.tempo) * (next.slowing?.[0] ?? 1) }]
      : own,
  };
}

/** A bar's place. Each boundary is rounded from the bar's start, so nothing accumulates. */
export function scoreBar(
  bar: Pick<PlayedBar, 'beats' | 'meter' | 'tempo' | 'feel'> & Pick<Partial<PlayedBar>, 'cells' | 'wait'>,
  start: Ticks,
): ScoreBar {
  const perBeat = quartersPerBeat(bar.meter) * ticksPerQuarter;
  const beats = Array.from({ length: Math.ceil(bar.beats) }, (_, beat) => beat);
  const within = (at: number): boolean => at < bar.beats - 1e-9;
  const chops = barStrokes(lowAndChop, { ...bar, cells: [] }).filter((stroke) => stroke.ending === 'chop');
  const thirds = quartersPerBeat(bar.meter) === 1.5;
  const between = beats.flatMap((beat) => (thirds ? [beat + 1 / 3, beat + 2 / 3] : [beat + 0.5]));
  const written: ScoreBar = {
    start,
    length: ticks(bar.beats * perBeat),
    beats: beats.map((beat) => ticks(beat * perBeat)),
    backbeats: chops.filter(({ at }) => within(at)).map(({ at }) => ticks(beatTick(at, bar))),
    between: between.filter(within).map((at) => ticks(beatTick(at, bar))),
    tempo: quarterTempo(bar.tempo),
  };
  const stops = stopsOf(bar);
  if (stops.length === 0) return written;
  const stretched = (at: Ticks): Ticks => ticks(stretchedTick(bar, at));
  return {
    ...written,
    length: ticks(stretchedLength(bar, written.length)),
    beats: written.beats.map(stretched),
    backbeats: written.backbeats.map(stretched),
    between: written.between.map(stretched),
    stops,
    written,
  };
}

/** A bar of a pass as it is being written: where it is placed, and by what it is struck. */
interface Writing {
  readonly bar: PlayedBar;
  readonly index: number;
  readonly placed: ScoreBar;
  readonly pattern: Pattern;
  readonly holds: readonly Hold[];
  /** The chord that follows the bar's last one. */
  readonly next: PlayedCell | undefined;
}

/** Low notes and chops of a bar. */
function barStrokeNotes(
  { bar, index, placed, pattern, holds, next }: Writing,
  { notesOf, sound = usualSound, share = 1 }: ScoreOptions,
): NoteEvent[] {
  const strokes = barStrokes(pattern, bar);
  const perBeat = quartersPerBeat(bar.meter) * ticksPerQuarter;
  const place = { bar, start: placed.start, perTick: millisecondsPerTick(placed.tempo * share) };
  return bar.cells.flatMap((cell, at) => {
    const follower = bar.cells[at + 1] ?? next;
    const end = cell.at + cell.beats - (follower?.early ? eighth(bar) : 0);
    const tones = notesOf(index, at);
    const hold = holds[at];
    if (tones.length === 0 || hold?.held) return [];
    const ringsTo = isRinging(pattern, bar) && hold ? (hold.until - placed.start) / perBeat : end;
    return cellStrokes(bar, cell, ringsTo, strokes, pattern).flatMap((struck) =>
      strokeNotes(struck, tones, place, sound),
    );
  });
}

/** The bass of a bar. */
function bassEvents(bar: PlayedBar, start: number, { notes }: BassBar, sound: Sound): NoteEvent[] {
  return notes.map(({ at, until, note, loudness }) => {
    const tick = beatTick(at, bar);
    return {
      at: start + tick,
      length: Math.max(1, beatTick(until, bar) - tick - breath),
      voice: 'bass',
      channel: sound.channels.bass,
      note,
      velocity: loudness,
    };
  });
}

/** Seconds a pass lasts at its own tempos. */
export function scoreSeconds(score: Score): number {
  return score.bars.reduce((sum, bar) => sum + barMilliseconds(bar), 0) / 1000;
}

function barMilliseconds(bar: ScoreBar): number {
  const tempos = bar.tempos ?? [{ at: 0, tempo: bar.tempo }];
  return tempos.reduce(
    (sum, { at, tempo }, index) =>
      sum + ((tempos[index + 1]?.at ?? bar.length) - at) * millisecondsPerTick(tempo),
    0,
  );
}
