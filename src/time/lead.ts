import { type Chart, type PlayedBar, quartersPerBeat } from '../chart/chart.js';
import { type PlayedNote, playedTune } from '../chart/tune/play-tune.js';
import { partsPerQuarter } from '../chart/tune/tune.js';
import type { Key } from '../theory/key.js';
import { stretchedTick } from './stretch.js';
import { type Ticks, ticks, ticksPerQuarter } from './units.js';

/** A note of the tune on the timeline of a pass. */
export interface LeadNote {
  /** From the pass's start; below nought for the pick-up in front of it. */
  readonly tick: Ticks;
  readonly ticks: Ticks;
  /** MIDI number. */
  readonly pitch: number;
  /** It goes on from the note before and is not struck, as long as that one sounded. */
  readonly tied: boolean;
  /** The played bar that it begins in; −1 in front of the first. */
  readonly bar: number;
}

/** How the tune is played: the key of the pass, where its bars start in ticks, and half steps by which it is moved. */
export interface LeadOptions {
  readonly key: Key;
  readonly starts: readonly number[];
  readonly shift?: number;
}

/** The tune of a pass on its timeline, swung as its bars are, and stretched where a chord is held. */
export function leadNotes(
  chart: Chart,
  bars: readonly PlayedBar[],
  { key, starts, shift = 0 }: LeadOptions,
): readonly LeadNote[] {
  return playedTune(chart, bars, { home: key, shift }).flatMap((note): LeadNote[] => {
    const from = tickOf(note, note.at, bars, starts);
    const to = tickOf(note, note.at + note.parts, bars, starts);
    if (to <= from) return [];
    return [
      { tick: ticks(from), ticks: ticks(to - from), pitch: note.pitch, tied: note.tied, bar: note.bar },
    ];
  });
}

/** The tick of a place in a note's bar; in front of the first bar it is counted back as that one is. */
function tickOf(
  { bar }: PlayedNote,
  at: number,
  bars: readonly PlayedBar[],
  starts: readonly number[],
): number {
  const played = bars[Math.max(0, bar)];
  const start = starts[Math.max(0, bar)] ?? 0;
  if (!played) return start;
  const swung = Math.round(swungParts(at, played) / (partsPerQuarter / ticksPerQuarter));
  return start + (bar < 0 ? swung : stretchedTick(played, swung));
}

/**
 * Where a place in a bar comes when the off-beat eighth is moved by the feel: the first half of the beat takes its share of
 * it, the second what is left. Thirds of a beat, which are a tuplet's, stay where they are.
 *
 * @param at parts of a quarter from the bar's start
 */
export function swungParts(at: number, bar: Pick<PlayedBar, 'meter' | 'feel'>): number {
  if (quartersPerBeat(bar.meter) !== 1 || bar.feel.swing === 50) return at;
  const beat = Math.floor(at / partsPerQuarter) * partsPerQuarter;
  const within = at - beat;
  const half = partsPerQuarter / 2;
  const long = (partsPerQuarter * bar.feel.swing) / 100;
  if (within % (partsPerQuarter / 3) === 0) return at;
  if (within <= half) return beat + (within * long) / half;
  return beat + long + ((within - half) * (partsPerQuarter - long)) / half;
}

/** Notes that are tied made one: what is struck, and for how long it sounds. */
export function struckNotes(notes: readonly LeadNote[]): readonly LeadNote[] {
  const struck: LeadNote[] = [];
  for (const note of notes) {
    const last = struck.at(-1);
    if (note.tied && last && last.pitch === note.pitch)
      struck[struck.length - 1] = { ...last, ticks: ticks(note.tick + note.ticks - last.tick) };
    else struck.push(note);
  }
  return struck;
}
