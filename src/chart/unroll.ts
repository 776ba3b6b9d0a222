import { toChord } from '../theory/chord.js';
import { type Key, transposeKey } from '../theory/key.js';
import {
  type BarSource,
  type Change,
  type Chart,
  type Excerpt,
  feltBeats,
  type Item,
  type Place,
  type PlayedBar,
  type PlayedCell,
  type Section,
  type WrittenCell,
} from './chart.js';
import type { Fault } from './fault.js';

/** The most bars a pass may have. */
export const barLimit = 10_000;
/** The most bars, changes and cues that are walked through for them: a form may come to sections without a bar. */
const stepLimit = 100 * barLimit;

/** How a chart is unrolled. */
export interface UnrollOptions {
  /** The key to put it in; the chart's own when absent. */
  readonly key?: Key;
  /** Whether this is the final pass, in which `[last … ]` bars are played. */
  readonly final?: boolean;
}

/** The bars of one pass, in order, or the one fault that forbids it. */
export interface Unrolled {
  readonly bars: readonly PlayedBar[];
  readonly fault: Fault | null;
}

type WrittenBar = Extract<Item, { kind: 'bar' }>;
type Step =
  | { readonly kind: 'bar'; readonly bar: WrittenBar; readonly source: BarSource }
  | { readonly kind: 'change'; readonly change: Change }
  | { readonly kind: 'cue'; readonly text: string };

interface Context {
  readonly key: Key;
  readonly meter: PlayedBar['meter'];
  readonly tempo: PlayedBar['tempo'];
  readonly feel: PlayedBar['feel'];
}

/** Plays a chart's form through once: repeats, endings, derived sections and changes become a list of bars. */
export function unroll(chart: Chart, options: UnrollOptions = {}): Unrolled {
  const bars: PlayedBar[] = [];
  const final = options.final ?? false;
  const reader = new SectionReader(chart.sections, final);
  let context: Context = {
    key: options.key ?? chart.key,
    meter: chart.meter,
    tempo: chart.tempo,
    feel: chart.feel,
  };
  let walked = 0;
  for (const [entryIndex, entry] of chart.form.entries()) {
    const steps = reader.steps(entry.section);
    if (reader.spent > stepLimit) return { bars, fault: tooMuch(entry.place) };
    for (let round = 0; round < entry.times; round += 1) {
      let cues: string[] = [];
      walked += steps.length + 1;
      if (walked > stepLimit) return { bars, fault: tooMuch(entry.place) };
      for (const step of steps) {
        if (step.kind === 'cue') cues.push(step.text);
        else if (step.kind === 'change') context = changed(context, step.change);
        else {
          const full = feltBeats(context.meter);
          const beats = beatsOf(step.bar, full);
          if (!chart.crooked && beats !== full)
            return { bars, fault: lengthFault(step.bar.place, beats, full) };
          if (bars.length === barLimit) return { bars, fault: tooLong(entry.place) };
          // Written out name by name: it is made by the ten thousand, and spreading objects costs most of the time.
          bars.push({
            source: step.source,
            section: entry.section,
            entry: entryIndex,
            round,
            cells: playedCells(step.bar, beats, context.key),
            beats,
            key: context.key,
            meter: context.meter,
            tempo: context.tempo,
            feel: context.feel,
            cues,
            who: entry.who,
            pattern: entry.pattern ?? chart.pattern,
            level: entry.level ?? null,
          });
          cues = [];
        }
      }
    }
  }
  return { bars, fault: null };
}

function lengthFault(place: Place, beats: number, meter: number): Fault {
  return {
    ...place,
    severity: 'error',
    message: `a bar of ${beats} beats where the meter has ${meter} when the form comes to it; if it really is so, put “crooked: yes” into the head`,
  };
}

function tooLong(place: Place): Fault {
  return {
    ...place,
    severity: 'error',
    message: `the form has more than ${barLimit} bars from here on; take repeats out`,
  };
}

function tooMuch(place: Place): Fault {
  return {
    ...place,
    severity: 'error',
    message: `bars, changes and cues of the form and of the sections it is made of are more than can be played (${stepLimit}) from here on; take repeats out`,
  };
}

/** Felt beats of a bar: those its dots give it, or a full bar's. */
function beatsOf(bar: WrittenBar, full: number): number {
  if (bar.cells[0]?.dots == null) return full;
  return bar.cells.reduce((sum, cell) => sum + (cell.dots ?? 0), 0);
}

/** The chords of a bar in a key, sharing it equally or by their dots. */
function playedCells(bar: WrittenBar, beats: number, key: Key): PlayedCell[] {
  let before = 0;
  return bar.cells.map((cell, index) => {
    const length = cell.dots ?? beats / bar.cells.length;
    const at = cell.dots === null ? (index * beats) / bar.cells.length : before;
    before += length;
    return playedCell(cell, at, length, key);
  });
}

function playedCell(cell: WrittenCell, at: number, beats: number, key: Key): PlayedCell {
  const { chord: number, early, ending } = cell;
  return { number, chord: number && toChord(number, key), at, beats, early, ending };
}

/** A written bar as it would be played at the head's key and meter: for showing bars that a pass never comes to. */
export function writtenBar(chart: Chart, bar: WrittenBar, source: BarSource): PlayedBar {
  const beats = beatsOf(bar, feltBeats(chart.meter));
  return {
    source,
    section: chart.sections[source.section]?.name ?? '',
    entry: -1,
    round: 0,
    cells: playedCells(bar, beats, chart.key),
    beats,
    key: chart.key,
    meter: chart.meter,
    tempo: chart.tempo,
    feel: chart.feel,
    cues: [],
    who: null,
    pattern: chart.pattern,
    level: null,
  };
}

function changed(context: Context, change: Change): Context {
  switch (change.kind) {
    case 'meter':
      return { ...context, meter: change.meter };
    case 'key':
      return { ...context, key: transposeKey(context.key, change.halfSteps) };
    case 'tempo':
      return { ...context, tempo: { ...context.tempo, bpm: change.bpm } };
    case 'swing':
      return { ...context, feel: { swing: change.swing } };
  }
}

/**
 * Answers the steps of a section by its name, each worked out once; an unknown or circular one has none
 * (the reader tells those). No section is spelled out further than a pass can be long, and all of them together no further
 * than `stepLimit`: beyond that it stops, and `spent` says so.
 */
class SectionReader {
  /** Steps that were spelled out. */
  spent = 0;
  private readonly known = new Map<string, readonly Step[]>();
  private readonly indices: ReadonlyMap<string, number>;
  private readonly found = new Map<readonly Step[], StepIndex>();

  constructor(
    private readonly sections: readonly Section[],
    private readonly final: boolean,
  ) {
    this.indices = new Map(sections.map((section, index) => [section.name, index]));
  }

  steps(name: string): readonly Step[] {
    const found = this.known.get(name);
    if (found) return found;
    // Until it is worked out: a section that is made of itself finds nothing here.
    this.known.set(name, []);
    const index = this.indices.get(name) ?? -1;
    const section = this.sections[index];
    const made = !section
      ? []
      : section.derived
        ? excerptSteps(section.derived, this)
        : playThrough(section, index, this.final);
    this.spent += made.length;
    this.known.set(name, made);
    return made;
  }

  index(steps: readonly Step[]): StepIndex {
    const found = this.found.get(steps);
    const index = found ?? indexSteps(steps);
    if (!found) this.found.set(steps, index);
    return index;
  }
}

function excerptSteps(excerpts: readonly Excerpt[], reader: SectionReader): readonly Step[] {
  const steps: Step[] = [];
  for (const { of, take } of excerpts) {
    if (steps.length > 2 * barLimit || reader.spent > stepLimit) break;
    const all = reader.steps(of);
    const index = reader.index(all);
    const count = index.bars.length;
    const part =
      take.kind === 'all'
        ? all
        : take.kind === 'bars'
          ? cut(all, index, take.from - 1, take.to)
          : take.kind === 'first'
            ? cut(all, index, 0, take.bars)
            : cut(all, index, count - take.bars, count);
    for (const step of part) steps.push(step);
  }
  return steps;
}

/**
 * Answers how many bars a section has when its repeats are played, each counted once. One that is made of others is added
 * up from their counts, not spelled out.
 */
export function barCounter(sections: readonly Section[]): (name: string) => number {
  const counts = new Map<string, number>();
  const indices = new Map(sections.map((section, index) => [section.name, index]));
  const barsOf = (name: string): number => {
    const found = counts.get(name);
    if (found !== undefined) return found;
    // Until it is worked out: a section that is made of itself finds nothing here.
    counts.set(name, 0);
    const index = indices.get(name) ?? -1;
    const section = sections[index];
    const count = !section
      ? 0
      : section.derived
        ? section.derived.reduce((sum, { of, take }) => sum + taken(take, barsOf(of)), 0)
        : playThrough(section, index, true).reduce((sum, { kind }) => sum + (kind === 'bar' ? 1 : 0), 0);
    counts.set(name, count);
    return count;
  };
  return barsOf;
}

/** How many bars are taken from a section that has so many. */
function taken(take: Excerpt['take'], bars: number): number {
  if (take.kind === 'all') return bars;
  if (take.kind !== 'bars') return Math.min(take.bars, bars);
  return Math.max(0, Math.min(take.to, bars) - Math.max(0, take.from - 1));
}

/** Where the bars and the changes among the steps of a section are, so that a piece is found without walking through all of them. */
interface StepIndex {
  readonly bars: readonly number[];
  readonly changes: readonly number[];
}

function indexSteps(steps: readonly Step[]): StepIndex {
  const bars: number[] = [];
  const changes: number[] = [];
  steps.forEach(({ kind }, at) => {
    if (kind === 'bar') bars.push(at);
    else if (kind === 'change') changes.push(at);
  });
  return { bars, changes };
}

/** The steps from bar `from` up to but without bar `to`; changes before it are kept, since they hold in it. */
function cut(steps: readonly Step[], { bars, changes }: StepIndex, from: number, to: number): Step[] {
  const behind = (bar: number): number =>
    bar <= 0 ? 0 : bar > bars.length ? steps.length : (bars[bar - 1] as number) + 1;
  const end = behind(to);
  const begin = Math.min(behind(from), end);
  const needed: Step[] = [];
  for (const at of changes) {
    if (at >= begin) break;
    needed.push(steps[at] as Step);
  }
  return [...needed, ...steps.slice(begin, end)];
}

interface Flat {
  readonly item: Item;
  readonly source: BarSource;
}

function playThrough(section: Section, sectionIndex: number, final: boolean): Step[] {
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

/** Whether a chart has `[last … ]` bars, so that its final pass differs from the others. */
export function hasFinalBars(chart: Chart): boolean {
  return chart.sections.some((section) =>
    section.lines.some((line) =>
      line.items.some((item) => item.kind === 'ending-open' && item.times === 'last'),
    ),
  );
}
