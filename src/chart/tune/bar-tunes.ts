import type { Chart, PlayedBar } from '../chart.js';
import { barParts, type PlayedNote, playedTune } from './play-tune.js';

/** A note within a bar: its beginning and length in parts of a quarter from the bar's start; before a pass it is below nought. */
export type BarNote = Pick<PlayedNote, 'at' | 'parts' | 'note' | 'tied'>;

/** The tune of a pass by its bars. */
export interface BarTunes {
  /** The notes of each played bar, pick-ups at its end among them; `null` where the section has no tune. */
  readonly bars: readonly (readonly BarNote[] | null)[];
  /** The pick-up in front of the first bar. */
  readonly ahead: readonly BarNote[];
}

/* Worked out once for each pass, as its bars are, not once a frame. */
const known = new WeakMap<readonly PlayedBar[], BarTunes>();

/** The tune of a pass by its bars. */
export function barTunes(chart: Chart, bars: readonly PlayedBar[]): BarTunes {
  const made = known.get(bars) ?? tunesOf(chart, bars);
  known.set(bars, made);
  return made;
}

function tunesOf(chart: Chart, bars: readonly PlayedBar[]): BarTunes {
  const led = new Set((chart.tune ?? []).map(({ section }) => section));
  const found: (BarNote[] | null)[] = bars.map(({ source }) =>
    led.has(chart.sections[source.section]?.name ?? '') ? [] : null,
  );
  const ahead: BarNote[] = [];
  for (const note of playedTune(chart, bars, { home: chart.key })) {
    if (note.bar < 0) ahead.push(note);
    else found[note.bar] = [...(found[note.bar] ?? []), note];
  }
  return { bars: found, ahead };
}

/* The last bars of passes that are followed by themselves, each made once, so that it stays the same list. */
const rounds = new WeakMap<BarTunes, Map<number, readonly BarNote[] | null>>();

/** The notes of a bar behind which the pass begins again: the pick-up in front of the first bar sounds at its end. */
export function notesBeforeAgain(
  tunes: BarTunes,
  bars: readonly PlayedBar[],
  index: number,
): readonly BarNote[] | null {
  const known = rounds.get(tunes) ?? new Map<number, readonly BarNote[] | null>();
  rounds.set(tunes, known);
  const bar = bars[index];
  const made = known.get(index) ?? (bar ? withPickup(tunes.bars[index] ?? null, tunes.ahead, bar) : null);
  known.set(index, made);
  return made;
}

function withPickup(
  notes: readonly BarNote[] | null,
  ahead: readonly BarNote[],
  bar: PlayedBar,
): readonly BarNote[] | null {
  const first = ahead[0];
  if (!first) return notes;
  const length = barParts(bar);
  const start = length + first.at;
  if (start < 0) return notes;
  const kept = (notes ?? []).flatMap((note): BarNote[] =>
    note.at >= start ? [] : [{ ...note, parts: Math.min(note.parts, start - note.at) }],
  );
  return [...kept, ...ahead.map((note) => ({ ...note, at: length + note.at }))];
}
