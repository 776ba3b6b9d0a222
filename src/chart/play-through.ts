import type { BarSource, Change, Item, Section } from './chart.js';
import { barLimit } from './limits.js';

/** A bar of a section as it is written. */
export type WrittenBar = Extract<Item, { kind: 'bar' }>;

/** What a section comes to when its repeats are played: bars, and what holds from there on or stands above the next. */
export type Step =
  | { readonly kind: 'bar'; readonly bar: WrittenBar; readonly source: BarSource }
  | { readonly kind: 'change'; readonly change: Change }
  | { readonly kind: 'cue'; readonly text: string }
  /** Whatever slowed down is in tempo again. */
  | { readonly kind: 'in-tempo' };

interface Flat {
  readonly item: Item;
  readonly source: BarSource;
}

/** The steps of a written section, its repeats and endings played. */
export function playThrough(section: Section, sectionIndex: number, final: boolean): Step[] {
  const flat: Flat[] = section.lines.flatMap((line, lineIndex) => {
    let bar = -1;
    return line.items.map((item) => {
      if (item.kind === 'bar') bar += 1;
      return { item, source: { section: sectionIndex, line: lineIndex, bar } };
    });
  });
  const steps: Step[] = [];
  let index = 0;
  while (index < flat.length) {
    if (flat[index]?.item.kind !== 'repeat-open') {
      index = playEnding(flat, index, flat.length, null, final, steps);
      continue;
    }
    const end = repeatEnd(flat, index);
    const times = repeatTimes(flat, index, end);
    const endings = endingNumbers(flat.slice(index, end));
    for (let time = 1; time <= times && steps.length <= 2 * barLimit; time += 1) {
      const chosen = endings.filter((one) => one <= time).at(-1) ?? time;
      for (let inner = index; inner < end; ) {
        inner = playEnding(flat, inner, end, chosen, final && time === times, steps);
      }
    }
    index = end;
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
  steps: Step[],
): number {
  const { item, source } = flat[index] as Flat;
  if (item.kind === 'ending-open') {
    const played = item.times === 'last' ? final : time === null || item.times.includes(time);
    return played ? index + 1 : closing(flat, index, end);
  }
  if (item.kind === 'bar') steps.push({ kind: 'bar', bar: item, source });
  else if (item.kind === 'change') steps.push({ kind: 'change', change: item.change });
  else if (item.kind === 'cue') steps.push({ kind: 'cue', text: item.text });
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
