import { type PlayedBar, quartersPerBeat } from '../chart/chart.js';
import type { NoteEvent } from './event.js';
import { beatTick, eighth } from './place.js';
import { ticksPerQuarter } from './units.js';

/** Where time waits in a bar: while a chord is held, or the band has stopped. Ticks from the bar's start, half open. */
export interface ScoreStop {
  readonly kind: 'chord' | 'band';
  readonly from: number;
  readonly to: number;
}

/** Time that a bar has beyond what is written: `by` ticks, put in at a written tick. `from`: where the chord that is held begins. */
interface Stretch {
  readonly from: number;
  readonly at: number;
  readonly by: number;
  readonly holds: boolean;
}

/** What of a bar decides how it is stretched. */
export type StretchedBar = Pick<PlayedBar, 'beats' | 'meter' | 'feel' | 'wait'> &
  Partial<Pick<PlayedBar, 'cells'>>;

function stretchesOf(bar: StretchedBar): Stretch[] {
  const perBeat = quartersPerBeat(bar.meter) * ticksPerQuarter;
  const held = (bar.cells ?? []).flatMap(({ at, beats, hold }): Stretch[] =>
    hold === undefined
      ? []
      : [
          {
            from: beatTick(at, bar),
            at: beatTick(at + beats, bar),
            by: Math.round((hold - beats) * perBeat),
            holds: true,
          },
        ],
  );
  const end = Math.round(bar.beats * perBeat);
  const stop: Stretch[] =
    bar.wait === undefined ? [] : [{ from: end, at: end, by: Math.round(bar.wait * perBeat), holds: false }];
  return [...held, ...stop];
}

/** Where a written tick of a bar comes when chords that are held take their whole length. */
export function stretchedTick(bar: StretchedBar, tick: number): number {
  return stretchesOf(bar).reduce((sum, { at, by, holds }) => (holds && at <= tick ? sum + by : sum), tick);
}

/** Ticks of a bar with all its waits. */
export function stretchedLength(bar: StretchedBar, written: number): number {
  return stretchesOf(bar).reduce((sum, { by }) => sum + by, written);
}

/** Where time waits in a bar. A stop of the band ends with one beat that is counted in. */
export function stopsOf(bar: StretchedBar): ScoreStop[] {
  const perBeat = Math.round(quartersPerBeat(bar.meter) * ticksPerQuarter);
  return stretchesOf(bar).map(({ from, at, by, holds }) => ({
    kind: holds ? 'chord' : 'band',
    from: stretchedTick(bar, from),
    to: holds ? stretchedTick(bar, at) : stretchedTick(bar, at) + by - perBeat,
  }));
}

/** The notes of a bar that starts at `start`, where its held chords put them: those of a held chord ring to its end. */
export function stretchedNotes(bar: PlayedBar, start: number, notes: readonly NoteEvent[]): NoteEvent[] {
  const stretches = stretchesOf(bar).filter(({ holds }) => holds);
  if (stretches.length === 0) return [...notes];
  const early = Math.round(eighth(bar) * quartersPerBeat(bar.meter) * ticksPerQuarter);
  return notes.map((note) => {
    const tick = note.at - start;
    const rings = stretches.find(({ from, at }) => tick >= from - early && tick < at - early);
    return {
      ...note,
      at: start + stretchedTick(bar, tick),
      length: note.length + (rings?.by ?? 0),
    };
  });
}

/** The tick of a bar at which a felt beat comes, its held chords counted. */
export function tickOfBeat(bar: StretchedBar, beat: number): number {
  return stretchedTick(bar, Math.round(beat * quartersPerBeat(bar.meter) * ticksPerQuarter));
}
