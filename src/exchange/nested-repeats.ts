import type { Remark, SheetBar } from './lead-sheet.js';

/** The most bars that nested repeats may have when they are written out: nobody can read more. */
const mostWritten = 300;

/** A repeat of a sheet: its first bar, the one that it is closed in, and the last of its endings. */
interface Span {
  readonly from: number;
  readonly close: number;
  readonly end: number;
}

/**
 * Writes a repeat within a repeat out in full, which a chart has no sign for, and makes what a repeat goes over one section:
 * names of others within it become cues. Each is reported.
 *
 * @param form whether the parts follow each other by a form: then they stay parts
 */
export function plainRepeats(
  bars: readonly SheetBar[],
  form: boolean,
  remarks: Remark[],
): readonly SheetBar[] {
  return withinSections(withoutNested(bars, remarks), form, remarks);
}

function withoutNested(bars: readonly SheetBar[], remarks: Remark[]): readonly SheetBar[] {
  const spans = spansOf(bars);
  const { inner, outer } = byNesting(spans);
  if (inner.length === 0) return bars;
  const begins = new Set(inner.map(({ from }) => from));
  const ends = new Map(inner.map(({ end }) => [end, 0]));
  for (const { end } of inner) ends.set(end, (ends.get(end) ?? 0) + 1);
  const written: SheetBar[] = [];
  const starts: number[] = [];
  let added = 0;
  for (const [index, bar] of bars.entries()) {
    if (begins.has(index)) starts.push(written.length);
    written.push(bar);
    for (let count = ends.get(index) ?? 0; count > 0; count -= 1) {
      const again = writtenOut(written.splice(starts.pop() ?? 0));
      added += again.length;
      if (added > mostWritten) return onlyInner(bars, outer, remarks);
      written.push(...again);
    }
  }
  for (const { from } of inner)
    remarks.push({
      place: (bars[from] as SheetBar).place,
      message: 'a repeat inside a repeat is written out in full',
    });
  return written;
}

/** The repeats that stand within others, and those that have others within them. */
function byNesting(spans: readonly Span[]): { inner: readonly Span[]; outer: readonly Span[] } {
  const inner: Span[] = [];
  const outer = new Set<Span>();
  const around: Span[] = [];
  // Spans come in the order in which they close: read from the last, an outer one comes before those within it.
  for (const span of [...spans].reverse()) {
    while (around.length > 0 && (around.at(-1) as Span).from >= span.from) around.pop();
    const holding = around.at(-1);
    if (holding && holding.close > span.end) {
      inner.push(span);
      outer.add(holding);
    }
    around.push(span);
  }
  return { inner: inner.reverse(), outer: [...outer] };
}

/** Where written out there would be too many bars: what has a repeat in it is played once. */
function onlyInner(
  bars: readonly SheetBar[],
  outer: readonly Span[],
  remarks: Remark[],
): readonly SheetBar[] {
  const all = [...bars];
  for (const { from, close } of outer) {
    const first = all[from] as SheetBar;
    remarks.push({ place: first.place, message: 'a repeat inside a repeat: the outer one is left out' });
    all[from] = { ...first, opens: false };
    all[close] = { ...(all[close] as SheetBar), closes: null };
  }
  return all;
}

/** The repeats that are opened and closed. An end closes the one that was opened last. */
function spansOf(bars: readonly SheetBar[]): readonly Span[] {
  const spans: Span[] = [];
  const open: number[] = [];
  let ending = false;
  let endings = false;
  bars.forEach((bar, index) => {
    if (bar.opens) open.push(index);
    if (bar.ending) ending = true;
    else if (!ending) endings = false;
    const last = spans.at(-1);
    // What stands in a later ending belongs to the repeat that an earlier one has closed.
    if (endings && last) spans[spans.length - 1] = { ...last, end: index };
    else if (bar.closes !== null) {
      const from = open.pop();
      if (from !== undefined) {
        spans.push({ from, close: index, end: index });
        endings = ending;
      }
    }
    if (bar.endsEnding) ending = false;
  });
  return spans;
}

/** The bars of a repeat as they are played, each time with its ending. Only the first time has the signs of the way. */
function writtenOut(bars: readonly SheetBar[]): readonly SheetBar[] {
  let held: readonly number[] | null = null;
  const played = bars.map((bar) => {
    held = bar.ending ?? held;
    const times: readonly number[] | null = held;
    if (bar.endsEnding || bar.closes !== null) held = null;
    return { bar, times };
  });
  const closes = Math.max(...bars.map((bar) => bar.closes ?? 1));
  const times = Math.max(closes, ...played.flatMap(({ times: own }) => own ?? []));
  return Array.from({ length: times }, (_, index) => index + 1).flatMap((time) =>
    played
      .filter(({ times: own }) => own === null || own.includes(time))
      .map(({ bar: { marks, ...bar } }): SheetBar => {
        const plain = { ...bar, opens: false, closes: null, ending: null, endsEnding: false };
        return time === 1 && marks ? { ...plain, marks } : plain;
      }),
  );
}

function withinSections(bars: readonly SheetBar[], form: boolean, remarks: Remark[]): readonly SheetBar[] {
  const all = [...bars];
  for (const { from, end } of spansOf(bars))
    for (let index = from + 1; index <= end; index += 1) {
      const bar = all[index] as SheetBar;
      if (bar.section === null || (form && bar.section !== '')) continue;
      all[index] = {
        ...bar,
        section: null,
        cues: bar.section === '' ? bar.cues : [bar.section, ...bar.cues],
      };
      if (bar.section !== '')
        remarks.push({
          place: bar.place,
          message: `“${bar.section}” begins inside a repeat, so it is not a section of its own: its name is kept as a cue`,
        });
    }
  return all;
}
