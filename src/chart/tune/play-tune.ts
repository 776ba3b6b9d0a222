import type { Key } from '../../theory/key.js';
import { type Chart, type PlayedBar, placeName, quartersPerBeat } from '../chart.js';
import { partsOf, partsPerQuarter, type TuneNote } from './tune.js';
import { barPlaces } from './tune-bars.js';
import { homeShift, pitchHeight, tonicNumber } from './tune-pitch.js';

/** A note of the tune as a pass has it: in which played bar, how many parts of a quarter after its start, for how long. */
export interface PlayedNote {
  /** Index of the played bar; −1 before the first: `at` counts back from that bar's start, below nought. */
  readonly bar: number;
  readonly at: number;
  readonly parts: number;
  /** MIDI number. */
  readonly pitch: number;
  readonly note: TuneNote;
  /** The key whose degree it is. */
  readonly key: Key;
  /** Whether it goes on from the note before, so that it is not struck. */
  readonly tied: boolean;
}

/** Where the notes of a tune lie: half steps by which all of it is moved, whole octaves as a rule. */
export interface PlayedWhere {
  /** The key that the chart is played in. */
  readonly home: Key;
  readonly shift?: number;
}

/** The tune of one played bar. */
export interface BarTune {
  /** The notes that begin in it, as if no pick-up came at its end. */
  readonly notes: readonly PlayedNote[];
  /** What leads into it: `at` counts back from its own start, below nought. */
  readonly pickup: readonly PlayedNote[];
  /** How long that is with its rests, in parts of a quarter; 0 for none. */
  readonly pickupParts: number;
  /** Whether the pick-up sounds where the bar before it in the pass is played before it. */
  readonly joins: boolean;
}

/**
 * The tune of each bar of a pass. A pick-up sounds at the end of the bar that is played before its section's first: in place of
 * what that bar has there where it is another section's; where the section is played once more, if no note of that bar begins
 * there; where a repeat goes back, if that bar is shorter by it. Bars of sections without a tune are silent. Empty for a chart
 * without a tune.
 */
export function barTunes(
  chart: Chart,
  bars: readonly PlayedBar[],
  { home, shift = 0 }: PlayedWhere,
): readonly BarTune[] {
  const tunes = tunesByPlace(chart);
  if (tunes.size === 0) return [];
  // The tonic in octave 0 as written, moved as little as can be.
  const moved =
    tonicNumber(chart.key, chart.key) + homeShift(chart.key, home) - tonicNumber(home, home) + shift;
  const found: BarTune[] = [];
  bars.forEach((bar, index) => {
    const place = tunes.get(placeName(bar.source));
    if (!place) {
      found.push({ notes: [], pickup: [], pickupParts: 0, joins: false });
      return;
    }
    const within = { tonic: tonicNumber(bar.key, home) + moved, key: bar.key };
    const pickupParts = partsOf(place.pickup);
    found.push({
      notes: notesAt(place.notes, index, 0, within),
      pickup: notesAt(place.pickup, index, -pickupParts, within),
      pickupParts,
      joins: pickupParts > 0 && joins(place.pickup, bars, index, found[index - 1]?.notes ?? [], tunes),
    });
  });
  return found;
}

/** The notes of the tune through a pass, in order, each pick-up in the bar in which it sounds. */
export function playedTune(
  chart: Chart,
  bars: readonly PlayedBar[],
  where: PlayedWhere,
): readonly PlayedNote[] {
  const notes: PlayedNote[] = [];
  barTunes(chart, bars, where).forEach((tune, index) => {
    const before = bars[index - 1];
    if (!before) notes.push(...tune.pickup.map((note) => ({ ...note, bar: -1 })));
    else if (tune.joins) {
      const length = barParts(before);
      giveWay(notes, index - 1, length - tune.pickupParts);
      notes.push(...tune.pickup.map((note) => ({ ...note, bar: index - 1, at: length + note.at })));
    }
    notes.push(...tune.notes);
  });
  return withTies(notes, bars);
}

/** What is played at a written bar: its notes, and the pick-up before it. */
interface TunePlace {
  readonly notes: readonly TuneNote[];
  readonly pickup: readonly TuneNote[];
}

/** The notes by the written bar they belong to. A tune that does not have its section's bars is none. */
function tunesByPlace(chart: Chart): ReadonlyMap<string, TunePlace> {
  const found = new Map<string, TunePlace>();
  for (const tune of chart.tune ?? []) {
    const section = chart.sections.findIndex(({ name }) => name === tune.section);
    const written = chart.sections[section];
    const places = written ? barPlaces(written, chart.key, chart.meter) : [];
    if (places.length !== tune.bars.length) continue;
    places.forEach(({ line, index: bar }, at) => {
      found.set(placeName({ section, line, bar }), {
        notes: tune.bars[at]?.notes ?? [],
        pickup: at === 0 ? tune.pickup : [],
      });
    });
  }
  return found;
}

/** A key, and the MIDI number of its tonic in octave 0. */
interface InKey {
  readonly tonic: number;
  readonly key: Key;
}

function notesAt(
  notes: readonly TuneNote[],
  bar: number,
  from: number,
  { tonic, key }: InKey,
): readonly PlayedNote[] {
  let at = from;
  return notes.flatMap((note): PlayedNote[] => {
    const start = at;
    at += note.parts;
    if (!note.pitch) return [];
    const pitch = Math.max(0, Math.min(127, tonic + pitchHeight(note.pitch)));
    return [{ bar, at: start, parts: note.parts, pitch, note, key, tied: false }];
  });
}

/** The written length of a played bar, in parts of a quarter. */
export function barParts({ beats, meter }: Pick<PlayedBar, 'beats' | 'meter'>): number {
  return Math.round(beats * quartersPerBeat(meter) * partsPerQuarter);
}

/** Whether a pick-up sounds at the end of the bar before, whose notes are given. */
function joins(
  pickup: readonly TuneNote[],
  bars: readonly PlayedBar[],
  index: number,
  notes: readonly PlayedNote[],
  tunes: ReadonlyMap<string, TunePlace>,
): boolean {
  const before = bars[index - 1];
  if (!before) return false;
  const start = barParts(before) - partsOf(pickup);
  if (start < 0) return false;
  const own = tunes.get(placeName(before.source));
  const now = bars[index];
  if (!own || !now || before.source.section !== now.source.section) return true;
  // A repeat goes back to the pick-up where its last bar lacks it.
  const repeats = before.entry === now.entry && before.round === now.round;
  if (repeats && partsOf(own.notes) > start) return false;
  return !notes.some(({ at }) => at >= start);
}

/** Notes of a bar that begin at or after a place in it give way, one that is held ends there. */
function giveWay(notes: PlayedNote[], bar: number, start: number): void {
  for (let at = notes.length - 1; at >= 0 && (notes[at] as PlayedNote).bar === bar; at -= 1) {
    const note = notes[at] as PlayedNote;
    if (note.at >= start) notes.splice(at, 1);
    else if (note.at + note.parts > start)
      notes[at] = { ...note, parts: start - note.at, note: { ...note.note, tie: false } };
  }
}

/** Marks the notes that a tie leads to: the same pitch directly after it, in the bar that is played next too. */
function withTies(notes: readonly PlayedNote[], bars: readonly PlayedBar[]): readonly PlayedNote[] {
  return notes.map((note, index) => {
    const before = notes[index - 1];
    if (!before?.note.tie || before.pitch !== note.pitch) return note;
    const ends = before.at + before.parts;
    const bar = bars[before.bar];
    const follows =
      before.bar === note.bar
        ? ends === note.at
        : note.bar === before.bar + 1 && note.at === 0 && ends === (bar ? barParts(bar) : 0);
    return follows ? { ...note, tied: true } : note;
  });
}
