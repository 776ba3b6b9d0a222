import type { PlayedBar, PlayedCell } from '../../../chart/chart.js';
import { chordName } from '../../../theory/chord.js';

/** Where the music is in the bars of a pass, within which bars it goes, half open, and whether it begins again after them. */
export interface PassPlace {
  readonly bar: number;
  /** Felt beats into the bar. */
  readonly beat: number;
  readonly range: { readonly from: number; readonly to: number };
  readonly goesRound: boolean;
  /** After this bar the music goes to another one of the pass, or to what is no part of it (`null`). */
  readonly jump?: { readonly after: number; readonly to: number | null };
}

/** A chord of a pass where it stands. */
export interface ChordPlace {
  readonly bar: PlayedBar;
  /** Indices of the bar in the pass, and of the chord in it. */
  readonly index: number;
  readonly at: number;
  readonly cell: PlayedCell;
}

/** A chord that comes, and the felt beats until then, at least one. */
export interface ComingChord extends ChordPlace {
  readonly beats: number;
}

/** What is played now, and the next two that differ from what is before them. `null` for none. */
export interface ChordMoment {
  readonly now: ChordPlace | null;
  readonly next: ComingChord | null;
  readonly after: ComingChord | null;
}

/** Whether two cells have the same chord, for a part for which only the letters count. */
export function sameChord(one: PlayedCell, other: PlayedCell): boolean {
  if (one.chord === null || other.chord === null) return one.chord === other.chord;
  return chordName(one.chord) === chordName(other.chord);
}

/** Whether two cells have the same note in the bass. */
export function sameRoot({ chord: one }: PlayedCell, { chord: other }: PlayedCell): boolean {
  if (one === null || other === null) return one === other;
  return (one.bass ?? one.root) === (other.bass ?? other.root);
}

/** The chord at a place and those that come, passing over what `same` calls the same. No hand and no plan has a say in it. */
export function chordMoment(
  bars: readonly PlayedBar[],
  place: PassPlace,
  same: (one: PlayedCell, other: PlayedCell) => boolean = sameChord,
): ChordMoment {
  const { bar, beat } = place;
  const here = bars[bar];
  const at = here?.cells.findLastIndex((one) => one.at <= beat + 1e-9) ?? -1;
  const cell = here?.cells[at];
  if (!here || !cell) return { now: null, next: null, after: null };
  const coming: ComingChord[] = [];
  let held = cell;
  let start = -beat;
  for (const index of barsOn(place)) {
    const there = bars[index];
    if (!there || coming.length === 2) break;
    for (const [place, one] of there.cells.entries()) {
      const beats = start + one.at;
      if (beats <= 1e-9 || coming.length === 2) continue;
      if (!same(one, held))
        coming.push({
          bar: there,
          index,
          at: place,
          cell: one,
          beats: Math.max(1, Math.ceil(beats - 1e-9)),
        });
      held = one;
    }
    start += there.beats;
  }
  const [next = null, after = null] = coming;
  return { now: { bar: here, index: bar, at, cell }, next, after };
}

/**
 * The bars that are played from one on, each at most once, and that one once more where the music comes round to it. Where it jumps, those
 * up to there, and those from there on.
 */
export function* barsOn({ bar, range: { from, to }, goesRound, jump }: PassPlace): Generator<number> {
  if (jump && bar <= jump.after) {
    for (let index = bar; index <= jump.after; index += 1) yield index;
    for (let index = jump.to ?? to; index < to; index += 1) yield index;
    return;
  }
  for (let index = bar; index < to; index += 1) yield index;
  if (!goesRound) return;
  for (let index = from; index <= Math.min(bar, to - 1); index += 1) yield index;
}
