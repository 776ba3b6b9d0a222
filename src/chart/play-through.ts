import type { BarSource, Change, Item, Section, WayMark } from './chart.js';
import { barLimit } from './limits.js';
import { writtenLines } from './written-lines.js';

/** A bar of a section as it is written. */
export type WrittenBar = Extract<Item, { kind: 'bar' }>;

/** A step of a section whose repeats are played: a bar, or something that holds from there on or is shown above the next bar. */
export type Step =
  | {
      readonly kind: 'bar';
      readonly bar: WrittenBar;
      readonly source: BarSource;
      /** The words of its phrase, where that has any, and whether the phrase begins with this bar. */
      readonly words?: readonly string[];
      readonly begins?: boolean;
      /** The marks before it and after it, where there are any. */
      readonly marks?: readonly WayMark[];
      /** Whether it belongs to a time through a repeat before the last. */
      readonly earlier?: true;
    }
  | { readonly kind: 'change'; readonly change: Change }
  | { readonly kind: 'cue'; readonly text: string }
  /** A ritardando is over: the music is in tempo again. */
  | { readonly kind: 'in-tempo' };

/** A step, or a mark that is put onto its bar at the end. */
type Found = Step | { readonly kind: 'mark'; readonly mark: WayMark };

interface Flat {
  readonly item: Item;
  readonly source: BarSource;
}

/** The steps of a written section, its repeats and endings played. */
export function playThrough(section: Section, sectionIndex: number, final: boolean): Step[] {
  return playLines(writtenLines(section), sectionIndex, 0, final);
}

/** The steps of some lines of a section, of which the first has the index `firstLine`. */
export function playLines(
  lines: readonly (readonly Item[])[],
  sectionIndex: number,
  firstLine: number,
  final: boolean,
): Step[] {
  const flat: Flat[] = lines.flatMap((items, index) => {
    const lineIndex = firstLine + index;
    let bar = -1;
    return items.map((item) => {
      if (item.kind === 'bar') bar += 1;
      return { item, source: { section: sectionIndex, line: lineIndex, bar } };
    });
  });
  const steps: Found[] = [];
  let index = 0;
  while (index < flat.length) {
    if (flat[index]?.item.kind !== 'repeat-open') {
      index = playEnding(flat, index, flat.length, null, final, false, steps);
      continue;
    }
    const end = repeatEnd(flat, index);
    const times = repeatTimes(flat, index, end);
    const endings = endingNumbers(flat.slice(index, end));
    const signed = signWaits(steps);
    for (let time = 1; time <= times && steps.length <= 2 * barLimit; time += 1) {
      const chosen = endings.filter((one) => one <= time).at(-1) ?? time;
      if (signed && time > 1) steps.push({ kind: 'mark', mark: 'sign' });
      for (let inner = index; inner < end; ) {
        inner = playEnding(flat, inner, end, chosen, final && time === times, time < times, steps);
      }
    }
    index = end;
  }
  return withMarks(steps);
}

/** Whether a sign comes before what comes next: of a repeat it is the first bar's each time. */
function signWaits(found: readonly Found[]): boolean {
  const at = found.findLastIndex(({ kind }) => kind === 'bar' || kind === 'mark');
  const step = found[at];
  return step?.kind === 'mark' && step.mark === 'sign';
}

/** Puts marks onto bars: the sign onto the bar that comes, the others onto the one before. One without its bar is dropped. */
function withMarks(found: Found[]): Step[] {
  if (!found.some(({ kind }) => kind === 'mark')) return found as Step[];
  const steps: Step[] = [];
  let last = -1;
  let sign = false;
  const mark = (at: number, more: WayMark): void => {
    const step = steps[at];
    if (step?.kind === 'bar') steps[at] = { ...step, marks: [...(step.marks ?? []), more] };
  };
  for (const step of found) {
    if (step.kind === 'mark') {
      if (step.mark === 'sign') sign = true;
      else mark(last, step.mark);
      continue;
    }
    steps.push(step);
    if (step.kind !== 'bar') continue;
    last = steps.length - 1;
    if (sign) mark(last, 'sign');
    sign = false;
  }
  return steps;
}

/** Plays one item, or skips a whole ending that is not this time's; answers the next index. */
function playEnding(
  flat: readonly Flat[],
  index: number,
  end: number,
  time: number | null,
  final: boolean,
  earlier: boolean,
  steps: Found[],
): number {
  const { item, source } = flat[index] as Flat;
  if (item.kind === 'ending-open') {
    const played = item.times === 'last' ? final : time === null || item.times.includes(time);
    return played ? index + 1 : closing(flat, index, end);
  }
  if (item.kind === 'bar')
    steps.push(earlier ? { kind: 'bar', bar: item, source, earlier } : { kind: 'bar', bar: item, source });
  else if (item.kind === 'change') steps.push({ kind: 'change', change: item.change });
  else if (item.kind === 'cue') steps.push({ kind: 'cue', text: item.text });
  else if (item.kind === 'way-mark') steps.push({ kind: 'mark', mark: item.mark });
  return index + 1;
}

function closing(flat: readonly Flat[], open: number, end: number): number {
  for (let index = open; index < end; index += 1) {
    if (flat[index]?.item.kind === 'ending-close') return index + 1;
  }
  return end;
}

/** A repeat reaches to its :| and over the numbered endings that follow it. */
function repeatEnd(flat: readonly Flat[], open: number): number {
  let index = open;
  while (index < flat.length && flat[index]?.item.kind !== 'repeat-close') index += 1;
  index += 1;
  while (index < flat.length) {
    const { item } = flat[index] as Flat;
    if (item.kind !== 'ending-open' || item.times === 'last') break;
    index = closing(flat, index, flat.length);
  }
  return Math.min(index, flat.length);
}

function endingNumbers(flat: readonly Flat[]): number[] {
  const numbers = flat.flatMap(({ item }) =>
    item.kind === 'ending-open' && item.times !== 'last' ? item.times : [],
  );
  return [...new Set(numbers)].sort((one, other) => one - other);
}

function repeatTimes(flat: readonly Flat[], open: number, end: number): number {
  const inside = flat.slice(open, end);
  const written = inside.find(({ item }) => item.kind === 'repeat-close')?.item;
  const times = written?.kind === 'repeat-close' ? written.times : null;
  return times ?? Math.max(2, ...endingNumbers(inside));
}
