import type { PlannedChange } from '../hand/plan.js';
import type { Arrangement } from '../time/arrange.js';
import type { Stand } from './model.js';

/** What of an arrangement is played in one pass: the final one may have other bars. */
export type PassView = Pick<Arrangement, 'bars' | 'plan' | 'changeAt' | 'score'>;

/** The pass under the cursor. */
export function passView(stand: Stand): PassView | null {
  const { arrangement, passes, cursor } = stand;
  if (!arrangement) return null;
  const last = passes !== null && cursor.pass >= passes;
  return (last ? arrangement.final : null) ?? arrangement;
}

/** What the hand does at the cursor: the shape held, the one that comes, and the felt beats until then. */
export interface HandMoment {
  readonly now: PlannedChange | null;
  readonly next: PlannedChange | null;
  readonly beatsLeft: number | null;
}

/**
 * The hand at a bar and beat of a pass that goes round within a range of bars. A change that leaves the
 * hand where it is (the form's last chord and its first) is passed over.
 */
export function handMoment(view: PassView, bar: number, beat: number, range: Stand['range']): HandMoment {
  const { plan, changeAt, bars } = view;
  const here = bars[bar];
  if (!here || plan.changes.length === 0) return { now: null, next: null, beatsLeft: null };
  const cell = here.cells.findLastIndex((one) => one.at <= beat + 1e-9);
  const held = changeAt[bar]?.[cell] ?? -1;
  const now = plan.changes[held] ?? null;
  const from = range?.from ?? 0;
  const to = range?.to ?? bars.length;
  let left = here.beats - beat;
  for (const { index, start } of barsAhead(bars, bar, from, to)) {
    const own = bars[index] as PassView['bars'][number];
    for (const [place, one] of own.cells.entries()) {
      const at = changeAt[index]?.[place] ?? -1;
      const change = plan.changes[at];
      const later = start === 0 ? one.at > beat + 1e-9 : true;
      if (!later || !change || at === held || sameHold(change, now)) continue;
      const beats = start === 0 ? one.at - beat : left + one.at;
      return { now, next: change, beatsLeft: Math.max(1, Math.ceil(beats - 1e-9)) };
    }
    if (start > 0) left += own.beats;
  }
  return { now, next: null, beatsLeft: null };
}

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

/** The first bar of each form entry, in order. */
export function sectionStarts(view: PassView): readonly number[] {
  const starts: number[] = [];
  view.bars.forEach((bar, index) => {
    const before = view.bars[index - 1];
    if (!before || before.entry !== bar.entry || before.round !== bar.round) starts.push(index);
  });
  return starts;
}
