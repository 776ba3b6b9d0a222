import type { Chart, PlayedBar } from '../chart.js';
import { barParts, barTunes, type PlayedNote, playedTune } from './play-tune.js';

/** A note within a bar: its beginning and length in parts of a quarter from the bar's start; before a pass it is below nought. */
export type BarNote = Pick<PlayedNote, 'at' | 'parts' | 'note' | 'tied'>;

/** The tune of a pass by its bars. */
export interface TuneByBars {
  /** The notes of each played bar, pick-ups at its end among them; `null` where the section has no tune. */
  readonly bars: readonly (readonly BarNote[] | null)[];
  /** The pick-up into each bar when it is reached from elsewhere, its places below zero; most bars have none. */
  readonly pickups: readonly (readonly BarNote[])[];
}

/* Worked out once for each pass, not for each frame. */
const known = new WeakMap<readonly PlayedBar[], TuneByBars>();

/** The tune of a pass by its bars. */
export function tuneByBars(chart: Chart, bars: readonly PlayedBar[]): TuneByBars {
  const made = known.get(bars) ?? tunesOf(chart, bars);
  known.set(bars, made);
  return made;
}

function tunesOf(chart: Chart, bars: readonly PlayedBar[]): TuneByBars {
  const led = new Set((chart.tune ?? []).map(({ section }) => section));
  const found: (BarNote[] | null)[] = bars.map(({ source }) =>
    led.has(chart.sections[source.section]?.name ?? '') ? [] : null,
  );
  for (const note of playedTune(chart, bars, { home: chart.key })) {
    // Notes before the pass are the pick-up of its first bar.
    if (note.bar >= 0) found[note.bar] = [...(found[note.bar] ?? []), note];
  }
  const pickups = barTunes(chart, bars, { home: chart.key }).map(({ pickup }) => pickup);
  return { bars: found, pickups };
}

/* The last bars of loops and passes, each made once, so that it stays the same list. */
const rounds = new WeakMap<TuneByBars, Map<string, readonly BarNote[] | null>>();

/** The notes of a bar after which the music goes back to an earlier one: the pick-up of that one sounds at its end. */
export function notesBeforeAgain(
  tunes: TuneByBars,
  bars: readonly PlayedBar[],
  index: number,
  to: number,
): readonly BarNote[] | null {
  const known = rounds.get(tunes) ?? new Map<string, readonly BarNote[] | null>();
  rounds.set(tunes, known);
  const bar = bars[index];
  const name = `${index}/${to}`;
  const isOwn = bar?.source.section === bars[to]?.source.section;
  const made =
    known.get(name) ??
    (bar ? withPickup(tunes.bars[index] ?? null, tunes.pickups[to] ?? [], bar, isOwn) : null);
  known.set(name, made);
  return made;
}

/** A section's own pick-up gives way to notes that begin where it would sound. */
function withPickup(
  notes: readonly BarNote[] | null,
  ahead: readonly BarNote[],
  bar: PlayedBar,
  isOwn: boolean,
): readonly BarNote[] | null {
  const first = ahead[0];
  if (!first) return notes;
  const length = barParts(bar);
  const start = length + first.at;
  if (start < 0 || (isOwn && notes?.some(({ at }) => at >= start))) return notes;
  const kept = (notes ?? []).flatMap((note): BarNote[] =>
    note.at >= start ? [] : [{ ...note, parts: Math.min(note.parts, start - note.at) }],
  );
  return [...kept, ...ahead.map((note) => ({ ...note, at: length + note.at }))];
}
