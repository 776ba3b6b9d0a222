import { type Meter, quartersPerBeat, sameMeter } from '../chart/chart.js';
import { plainBar, type SheetBar } from './lead-sheet.js';

/** Lengths that differ by less than this (quarters) are the same. */
const near = 1e-4;
/** The most beats of a meter that a chart can have. */
const mostBeats = 16;

/**
 * Gives a bar that does not last whole beats of its meter one of its own, in eighths or quarters, and the bar after it the
 * meter that it stands in: 7/8 in 4/4, 5/8 in 6/8. A bar that does not fit such a meter either stays as it is.
 *
 * @param first the meter at the head
 */
export function withWholeBeats(bars: readonly SheetBar[], first: Meter): readonly SheetBar[] {
  let written = first;
  let held = first;
  return bars.map((bar) => {
    written = bar.meter ?? written;
    const meter = isWhole(bar.length, written) ? written : (meterOfLength(bar.length) ?? written);
    const says = bar.meter !== null || !sameMeter(meter, held);
    held = meter;
    return says ? { ...bar, meter } : bar;
  });
}

function isWhole(length: number, meter: Meter): boolean {
  const beats = length / quartersPerBeat(meter);
  return Math.abs(beats - Math.round(beats)) < near && Math.round(beats) > 0;
}

function meterOfLength(length: number): Meter | null {
  const unit = Math.abs(length - Math.round(length)) < near ? 4 : 8;
  const beats = (length * unit) / 4;
  const whole = Math.round(beats);
  return Math.abs(beats - whole) < near && whole > 0 && whole <= mostBeats ? { beats: whole, unit } : null;
}

/**
 * The bars that must say their meter though it is that of the bar written before: where a repeat or an ending begins, one comes
 * from another bar as well, in which another meter may hold.
 */
export function meterSaidAnew(bars: readonly SheetBar[]): ReadonlySet<SheetBar> {
  const anew = new Set<SheetBar>();
  let span: SheetBar[] = [];
  const close = (): void => {
    if (span.slice(1).some(({ meter }) => meter !== null))
      for (const [index, bar] of span.entries()) if (index === 0 || bar.ending) anew.add(bar);
    span = [];
  };
  for (const [index, bar] of bars.entries()) {
    if (bar.opens) {
      close();
      span = [bar];
    } else if (span.length > 0) span.push(bar);
    const next = bars[index + 1] ?? plainBar;
    const ends = bar.closes !== null || bar.endsEnding;
    if (span.length > 0 && ends && !next.ending) close();
  }
  close();
  return anew;
}
