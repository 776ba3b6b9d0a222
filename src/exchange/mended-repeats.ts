import type { Remark, SheetBar } from './lead-sheet.js';

/** Lengths that differ by less than this (quarters) are the same. */
const near = 1e-6;

/**
 * Repeats as they are meant where a sign is missing or a figure wrong: one that another opens within, and that nothing closes,
 * ends there; a second opening after a pick-up is none; a first ending that a second one follows goes back; endings for times
 * that endings before them have are for the next ones. Each is reported.
 */
export function mendedRepeats(bars: readonly SheetBar[], remarks: Remark[]): readonly SheetBar[] {
  return withFreeTimes(withClosedRepeats(withClosedEndings(bars, remarks), remarks), remarks);
}

/** An ending for the first time goes back where another ending follows, though no sign says so. */
function withClosedEndings(bars: readonly SheetBar[], remarks: Remark[]): readonly SheetBar[] {
  let isFirst = false;
  return bars.map((bar, index) => {
    const next = bars[index + 1];
    if (bar.ending) isFirst = bar.ending.includes(1);
    const follows = isFirst && next?.ending && !next.ending.includes(1);
    if (bar.endsEnding || follows) isFirst = false;
    if (!follows || bar.closes !== null || bar.back) return bar;
    remarks.push({
      place: next.place,
      message: 'another ending follows the first one without a repeat sign: the sign is added',
    });
    return { ...bar, closes: 2, endsEnding: true };
  });
}

function withClosedRepeats(bars: readonly SheetBar[], remarks: Remark[]): readonly SheetBar[] {
  const all = [...bars];
  const closed = closedLater(bars);
  const open: number[] = [];
  let later = false;
  bars.forEach((bar, index) => {
    if (bar.ending) later = !bar.ending.includes(1);
    if (bar.opens) {
      const outer = open.at(-1);
      if (outer !== undefined && !closed.has(outer)) {
        open.pop();
        mendOpening(all, outer, index, remarks);
      }
      // The one that is still open had only a pick-up.
      open.push((all[index] as SheetBar).opens ? index : (outer as number));
    }
    if (bar.closes !== null && !later) open.pop();
    if (bar.endsEnding) later = false;
  });
  return all;
}

/** A repeat opens where another is open that nothing closes: that one ends here, or had only a pick-up, and goes on. */
function mendOpening(all: SheetBar[], outer: number, index: number, remarks: Remark[]): void {
  const bar = all[index] as SheetBar;
  const before = all[index - 1] as SheetBar;
  const { length } = all[outer] as SheetBar;
  const isPickup = outer === index - 1 && length < bar.length - near;
  if (isPickup) all[index] = { ...bar, opens: false };
  else all[index - 1] = { ...before, closes: before.closes ?? 2 };
  remarks.push({
    place: bar.place,
    message: isPickup
      ? 'a repeat begins twice, before and after its pick-up: it is read as one repeat'
      : 'a repeat begins, but the one before it has no end: the end is added here',
  });
}

/** The bars that open a repeat which is closed, each end closing the one that was opened last. */
function closedLater(bars: readonly SheetBar[]): ReadonlySet<number> {
  const closed = new Set<number>();
  const open: number[] = [];
  let later = false;
  bars.forEach((bar, index) => {
    if (bar.ending) later = !bar.ending.includes(1);
    if (bar.opens) open.push(index);
    // An end within a later ending belongs to the repeat that the first one has closed.
    if (bar.closes !== null && !later) {
      const from = open.pop();
      if (from !== undefined) closed.add(from);
    }
    if (bar.endsEnding) later = false;
  });
  return closed;
}

function withFreeTimes(bars: readonly SheetBar[], remarks: Remark[]): readonly SheetBar[] {
  let taken = new Set<number>();
  let within = false;
  return bars.map((bar) => {
    if (!bar.ending) {
      if (!within) taken = new Set();
      if (bar.endsEnding) within = false;
      return bar;
    }
    const free = bar.ending.filter((time) => !taken.has(time));
    const times = free.length > 0 ? free : [Math.max(...taken) + 1];
    if (times.length !== bar.ending.length || free.length === 0)
      remarks.push({
        place: bar.place,
        message: `an ending has the number of another one: it is read as ending ${times.join(', ')}`,
      });
    for (const time of times) taken.add(time);
    within = !bar.endsEnding;
    return { ...bar, ending: times };
  });
}
