import { samePart } from '../chart/part.js';
import { sameFingering } from '../hand/fingering.js';
import { motion } from '../hand/motion.js';
import type { HandPlan, PlannedChange } from '../hand/plan.js';
import { type Key, keyName } from '../theory/key.js';
import type { ArrangedPass } from '../time/arrange.js';
import type { Performance } from './performance.js';
import type { BarRange } from './setup.js';

/** What of an arrangement is played in one pass: the final one may have other bars. */
export type PassView = ArrangedPass;

/** The pass under the cursor. */
export function passView(performance: Performance): PassView | null {
  return passViewAt(performance, performance.cursor.pass);
}

/** The pass of a number: the last one may have bars of its own. */
export function passViewAt({ arrangement, setup: { passes } }: Performance, pass: number): PassView | null {
  if (!arrangement) return null;
  const last = passes !== null && pass >= passes;
  return (last ? arrangement.final : null) ?? arrangement;
}

/** The key that sounds at the cursor; the one that is set, while another is being arranged. */
export function keyNow(performance: Performance): Key {
  const { arrangement, cursor, setup } = performance;
  const bar = passView(performance)?.bars[cursor.bar];
  return bar && arrangement && keyName(arrangement.key) === keyName(setup.key) ? bar.key : setup.key;
}

/** The bars that are gone round in: a chord that is held, the loop, or the whole pass. */
export function rangeShown({ vamp, setup: { range } }: Performance): BarRange | null {
  return vamp ? { from: vamp.bar, to: vamp.bar + 1 } : range;
}

/** Ticks of the bars of a pass, half open. */
export function ticksOfBars({ score }: PassView, from: number, to: number): number {
  return score.bars.slice(from, to).reduce((sum, { length }) => sum + length, 0);
}

/** A change that comes, and the felt beats until then. */
export interface ComingChange {
  readonly change: PlannedChange;
  /** Its index in the plan. */
  readonly index: number;
  readonly beats: number;
}

/** What the hand does at the cursor: the shape held, the one that comes, and the one after that. */
export interface HandMoment {
  readonly now: PlannedChange | null;
  readonly next: ComingChange | null;
  readonly after: ComingChange | null;
}

/**
 * The hand at a bar and beat of a pass that goes round within a range of bars. A change that leaves the
 * hand where it is (the form's last chord and its first) is passed over.
 */
export function handMoment(view: PassView, bar: number, beat: number, range: BarRange | null): HandMoment {
  const { plan, changeAt, bars } = view;
  const here = bars[bar];
  if (!here || plan.changes.length === 0) return { now: null, next: null, after: null };
  const cell = here.cells.findLastIndex((one) => one.at <= beat + 1e-9);
  const now = plan.changes[changeAt[bar]?.[cell] ?? -1] ?? null;
  const coming = changesAhead(view, bar, beat, range, 2);
  return { now, next: coming[0] ?? null, after: coming[1] ?? null };
}

/**
 * A change with the motion from what is held before it: at the end of a loop that is another shape than the one before it in the
 * plan.
 */
export function reachedFrom(
  held: PlannedChange | null,
  change: PlannedChange,
  { instrument }: HandPlan,
): PlannedChange {
  if (!held?.fingering || !change.fingering) return change;
  if (change.motion && sameFingering(change.motion.from, held.fingering)) return change;
  return { ...change, motion: motion(held.fingering, change.fingering, instrument) };
}

/** The next few changes in which the hand goes elsewhere. */
export function changesAhead(
  view: PassView,
  bar: number,
  beat: number,
  range: BarRange | null,
  most: number,
): readonly ComingChange[] {
  const { plan, changeAt, bars } = view;
  const here = bars[bar];
  if (!here) return [];
  const cell = here.cells.findLastIndex((one) => one.at <= beat + 1e-9);
  let heldAt = changeAt[bar]?.[cell] ?? -1;
  let held = plan.changes[heldAt] ?? null;
  const found: ComingChange[] = [];
  let left = here.beats - beat;
  for (const { index, start } of barsAhead(bars, bar, range?.from ?? 0, range?.to ?? bars.length)) {
    const ahead = bars[index] as PassView['bars'][number];
    for (const [place, one] of ahead.cells.entries()) {
      const at = changeAt[index]?.[place] ?? -1;
      const change = plan.changes[at];
      const later = start > 0 || one.at > beat + 1e-9;
      if (!later || !change || at === heldAt || sameHold(change, held)) continue;
      const beats = start === 0 ? one.at - beat : left + one.at;
      found.push({
        change: reachedFrom(held, change, plan),
        index: at,
        beats: Math.max(1, Math.ceil(beats - 1e-9)),
      });
      if (found.length === most) return found;
      heldAt = at;
      held = change;
    }
    if (start > 0) left += ahead.beats;
  }
  return found;
}

/** How many felt beats what is held at the cursor was held before it, within the bars that are gone round in. */
export function beatsHeld(
  { plan, changeAt, bars }: PassView,
  bar: number,
  beat: number,
  range: BarRange | null,
): number {
  const changeOf = (index: number, cell: number) => plan.changes[changeAt[index]?.[cell] ?? -1] ?? null;
  const here = bars[bar]?.cells.findLastIndex((one) => one.at <= beat + 1e-9) ?? -1;
  const held = changeOf(bar, here);
  if (!held) return 0;
  let since = beat;
  for (let index = bar, later = 0; index >= (range?.from ?? 0); index -= 1) {
    const { cells, beats } = bars[index] as PassView['bars'][number];
    if (index < bar) later += beats;
    for (let cell = index === bar ? here : cells.length - 1; cell >= 0; cell -= 1) {
      const change = changeOf(index, cell);
      if (change !== held && !(change && sameHold(change, held))) return Math.floor(since + 1e-9);
      since = later + beat - (cells[cell]?.at ?? 0);
    }
    if (since > mostHeld) return Math.floor(since + 1e-9);
  }
  return Math.floor(since + 1e-9);
}

/** Beats that are looked back at most. */
const mostHeld = 64;

/** The bars from here on, once round; `start` counts them. */
function* barsAhead(
  bars: PassView['bars'],
  bar: number,
  from: number,
  to: number,
): Generator<{ index: number; start: number }> {
  const length = Math.max(1, to - from);
  for (let start = 0; start <= length && start <= bars.length; start += 1) {
    const index = bar + start < to ? bar + start : from + ((bar + start - to) % length);
    yield { index, start };
  }
}

function sameHold(change: PlannedChange, now: PlannedChange | null): boolean {
  if (!now?.fingering || !change.fingering) return false;
  const { root, quality, bass } = change.chord;
  return (
    now.chord.root === root &&
    now.chord.quality === quality &&
    now.chord.bass === bass &&
    now.fingering.frets.join() === change.fingering.frets.join()
  );
}

/** Bars that a late call can lie ahead. */
const mostLateBars = 4;

/**
 * Whether a chord has been called when numbers appear only `late` beats before they are due: what is past, and what is
 * due within this many beats. A caller knows the form: the beginning of the loop is called at its end.
 */
export function isCalled(
  view: PassView,
  at: { readonly bar: number; readonly beat: number },
  range: BarRange | null,
  late: number,
  bar: number,
  cell: number,
): boolean {
  const place = view.bars[bar]?.cells[cell]?.at ?? 0;
  if (bar === at.bar) return place - at.beat <= late;
  let left = (view.bars[at.bar]?.beats ?? 0) - at.beat;
  for (const { index, start } of barsAhead(
    view.bars,
    at.bar,
    range?.from ?? 0,
    range?.to ?? view.bars.length,
  )) {
    if (start === 0) continue;
    if (start > mostLateBars || left > late) return bar < at.bar;
    if (index === bar) return left + place <= late;
    left += view.bars[index]?.beats ?? 0;
  }
  return bar < at.bar;
}

/** The first bar of each form entry, in order. */
export function sectionStarts(view: PassView): readonly number[] {
  const starts: number[] = [];
  view.bars.forEach((bar, index) => {
    const before = view.bars[index - 1];
    if (!before || !samePart(before, bar)) starts.push(index);
  });
  return starts;
}

/** Bars before this player leads in which the stand says so. */
const turnBars = 4;

/** Whether this player leads now (0), or in how many bars, counted down from four; `null` when not soon. */
export function barsToMyTurn(view: PassView, bar: number, range: BarRange | null): number | null {
  for (const { index, start } of barsAhead(view.bars, bar, range?.from ?? 0, range?.to ?? view.bars.length)) {
    if (view.bars[index]?.who === 'me') return start;
    if (start === turnBars) return null;
  }
  return null;
}

/** Whether a chord of a bar is hard to reach: one of the pass's few slow changes, or too slow for the tempo (quarters a minute). */
export function isHard(view: PassView, bar: number, cell: number, tempo: number): boolean {
  const at = view.changeAt[bar]?.[cell] ?? -1;
  const change = view.plan.changes[at];
  const played = view.bars[bar]?.cells[cell];
  if (!change || !played || change.bar !== bar || Math.abs(change.beat - played.at) > 1e-9) return false;
  return isHardChange(view, at, tempo);
}

/** The same of a change by its index in the plan. */
export function isHardChange(view: PassView, index: number, tempo: number): boolean {
  const hard = view.hardness[index];
  return hard !== undefined && (hard.marked || hard.bpm < tempo);
}
