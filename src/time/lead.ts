import type { Chart, PlayedBar } from '../chart/chart.js';
import { type BarTune, barTunes, type PlayedNote } from '../chart/tune/play-tune.js';
import type { Key } from '../theory/key.js';
import { midiNote } from '../theory/pitch.js';
import type { NoteEvent } from './event.js';
import { leaderProgram } from './lead-program.js';
import { noteTick } from './note-tick.js';
import { type Sound, usualSound } from './sound.js';

/** A note of the tune on the timeline of a pass. `goesOn`: it is tied to the note that begins where it ends, if that is the same. */
export interface LeadNote extends NoteEvent {
  readonly goesOn?: boolean;
}

/** The tune of one bar of a pass. Ticks count from the pass's start. */
export interface LeadBar {
  /** The notes that begin in it, as if no pick-up came at its end. */
  readonly notes: readonly LeadNote[];
  /** What leads into it: before its start. */
  readonly pickup: readonly LeadNote[];
  /** Ticks that this takes before its start, its rests counted; 0 for none. */
  readonly pickupTicks: number;
  /** Whether the pick-up sounds where the bar before it in the pass is played before it. */
  readonly joins: boolean;
  /** Index of its section. */
  readonly section: number;
  /** Who leads there, in small letters; `null` where the form names nobody. */
  readonly who: string | null;
}

/** How the tune is played: the key of the pass, where its bars start in ticks, and half steps by which it is moved. */
export interface LeadOptions {
  readonly key: Key;
  readonly starts: readonly number[];
  readonly shift?: number;
  readonly sound?: Sound;
}

/** How loud the tune is: above what accompanies it, below the accented beat. */
const loudness = 88;

/**
 * The tune of a pass bar by bar, swung as its bars are, and stretched where a chord is held. A pick-up is swung as the bar it
 * leads to. Empty for a chart without a tune.
 */
export function leadBars(
  chart: Chart,
  bars: readonly PlayedBar[],
  { key, starts, shift = 0, sound = usualSound }: LeadOptions,
): readonly LeadBar[] {
  return barTunes(chart, bars, { home: key, shift }).map((tune, index): LeadBar => {
    const bar = bars[index] as PlayedBar;
    const start = starts[index] ?? 0;
    const program = sound.byLeader ? leaderProgram(chart, bar) : sound.programs.lead;
    const placed = (notes: readonly PlayedNote[]): readonly LeadNote[] =>
      joined(
        notes.flatMap(({ at, parts, pitch, note }): LeadNote[] => {
          const from = noteTick(bar, at);
          const to = noteTick(bar, at + parts);
          if (to <= from) return [];
          return [
            {
              at: start + from,
              length: to - from,
              voice: 'lead',
              channel: sound.channels.lead,
              note: midiNote(pitch),
              velocity: loudness,
              ...(program === null ? {} : { program }),
              ...(note.tie ? { goesOn: true } : {}),
            },
          ];
        }),
      );
    return {
      notes: placed(tune.notes),
      pickup: placed(tune.pickup),
      pickupTicks: pickupTicks(tune, bar),
      joins: tune.joins,
      section: bar.source.section,
      who: bar.who?.trim().toLowerCase() ?? null,
    };
  });
}

function pickupTicks({ pickupParts }: BarTune, bar: PlayedBar): number {
  return pickupParts === 0 ? 0 : -noteTick(bar, -pickupParts);
}

/** Notes that are tied made one: what is struck, and for how long it sounds. What goes on after the last of them still does. */
export function joined(notes: readonly LeadNote[]): readonly LeadNote[] {
  const struck: LeadNote[] = [];
  for (const note of notes) {
    const last = struck.at(-1);
    const ends = last && last.at + last.length;
    if (last?.goesOn && last.note === note.note && ends === note.at) {
      const { goesOn: _, ...rest } = last;
      struck[struck.length - 1] = {
        ...rest,
        length: note.at + note.length - last.at,
        ...(note.goesOn ? { goesOn: true } : {}),
      };
    } else struck.push(note);
  }
  return struck;
}
