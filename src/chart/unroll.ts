import { type Key, keyName } from '../theory/key.js';
import { waitLimits } from './change.js';
import {
  type BarSource,
  type Change,
  type Chart,
  type FormEntry,
  feltBeats,
  type Meter,
  type Place,
  type PlayedBar,
} from './chart.js';
import { type Context, changed } from './context.js';
import type { Fault } from './fault.js';
import { keyAt } from './key-target.js';
import { barLimit, stepLimit } from './limits.js';
import { PhraseCounter } from './phrase-counter.js';
import type { WrittenBar } from './play-through.js';
import { beatsOf, playedCells } from './played-cells.js';
import { SectionSteps } from './section-steps.js';
import { shareFault } from './share-fault.js';
import { addsUp } from './shares.js';
import { Slowing } from './slowing.js';
import { withTuneCues } from './tune/tune-cues.js';
import { WayBack } from './way-back.js';

/** How a chart is unrolled. */
export interface UnrollOptions {
  /** The key to put it in; the chart's own when absent. */
  readonly key?: Key;
  /** Whether this is the final pass, in which `[last … ]` bars are played. */
  readonly final?: boolean;
  /** Whether each phrase has the words of all its verses, with their numbers, whenever it is played: to show a part once. */
  readonly allVerses?: boolean;
  /** Called for every change as it is reached: the keys before and after it, and the entry of the form. */
  readonly onChange?: (change: Change, before: Key, behind: Key, entry: FormEntry) => void;
}

/** The bars of one pass, in order, or the one fault that forbids it. */
export interface Unrolled {
  readonly bars: readonly PlayedBar[];
  readonly fault: Fault | null;
}

/** Plays a chart's form through once: repeats, endings, derived sections and changes become a list of bars. */
export function unroll(chart: Chart, options: UnrollOptions = {}): Unrolled {
  const bars: PlayedBar[] = [];
  const final = options.final ?? false;
  const reader = new SectionSteps(chart.sections, final);
  const home = options.key ?? chart.key;
  const { onChange } = options;
  let context: Context = {
    key: home,
    meter: chart.meter,
    tempo: chart.tempo,
    feel: chart.feel,
  };
  const phrases = new PhraseCounter(options.allVerses ?? false);
  const slowing = new Slowing();
  let walked = 0;
  const goBack = chart.form.some(({ way }) => way) ? new WayBack(bars) : null;
  for (const [entryIndex, entry] of chart.form.entries()) {
    if (entry.way && goBack) {
      const again = goBack.once(entry.way, entry, entryIndex);
      walked += again.bars.length + 1;
      if (again.fault) return { bars, fault: again.fault };
      if (walked > stepLimit) return { bars, fault: tooMuch(entry.place) };
      if (bars.length + again.bars.length > barLimit) return { bars, fault: tooLong(entry.place) };
      for (const bar of again.bars) bars.push(bar);
      context = again.context ?? context;
      continue;
    }
    const steps = reader.steps(entry.section);
    if (reader.spent > stepLimit) return { bars, fault: tooMuch(entry.place) };
    // A key of the entry's own holds each time through it, and after it the one that held before.
    const around = context.key;
    // Entries of one section in a row are times through it, as those of an entry x2 are.
    const isLast = chart.form[entryIndex + 1]?.section !== entry.section;
    for (let round = 0; round < entry.times; round += 1) {
      if (entry.key) context = { ...context, key: keyAt(entry.key, home) };
      let cues: string[] = [];
      walked += steps.length + 1;
      if (walked > stepLimit) return { bars, fault: tooMuch(entry.place) };
      for (const step of steps) {
        if (step.kind === 'cue') cues.push(step.text);
        else if (step.kind === 'in-tempo') slowing.end(bars);
        else if (step.kind === 'change') {
          const before = context.key;
          if (step.change.kind === 'slow') slowing.begin(bars, step.change.percent);
          else if (step.change.kind === 'wait') stopBehind(bars, step.change.beats);
          else context = changed(context, step.change, home);
          onChange?.(step.change, before, context.key, entry);
        } else {
          const { meter } = context;
          if (!addsUp(step.bar.cells, meter, chart.crooked))
            return { bars, fault: sharedWrongly(chart, step, meter) };
          const beats = beatsOf(step.bar, meter, chart.crooked);
          if (bars.length === barLimit) return { bars, fault: tooLong(entry.place) };
          if (goBack && isLast && !step.earlier && round === entry.times - 1)
            goBack.played(bars.length, step.marks);
          // Written out name by name: tens of thousands are made, and spreading objects would take most of the time.
          const bar: { -readonly [Name in keyof PlayedBar]: PlayedBar[Name] } = {
            source: step.source,
            section: entry.section,
            entry: entryIndex,
            round,
            cells: playedCells(step.bar, beats, context.key),
            beats,
            key: context.key,
            meter,
            tempo: context.tempo,
            feel: context.feel,
            cues,
            who: entry.who,
            pattern: entry.pattern ?? chart.pattern,
            level: entry.level ?? null,
          };
          if (step.begins) {
            const words = phrases.wordsNow(bar, step.words ?? []);
            if (words.length > 0) bar.words = words;
          }
          if (step.marks) bar.marks = step.marks;
          bars.push(bar);
          cues = [];
        }
      }
      slowing.end(bars);
    }
    if (entry.key) context = { ...context, key: around };
  }
  return { bars: chart.cues === 'tune' ? withTuneCues(chart, bars, home) : bars, fault: null };
}

/**
 * The band stops after the last of these bars: for a bar of its meter where nothing is written. Before the first bar there is
 * nothing to stop.
 */
function stopBehind(bars: PlayedBar[], beats: number | null): void {
  const last = bars.at(-1);
  if (last)
    bars[bars.length - 1] = {
      ...last,
      wait: beats ?? Math.max(waitLimits.least, feltBeats(last.meter)),
    };
}

function sharedWrongly(
  chart: Chart,
  { bar, source }: { readonly bar: WrittenBar; readonly source: BarSource },
  meter: Meter,
): Fault {
  const letters = chart.sections[source.section]?.letters ? chart.key : null;
  return {
    ...bar.place,
    severity: 'error',
    message: `when the form reaches this bar, ${shareFault(bar.cells, meter, chart.crooked, letters)}`,
  };
}

function tooLong(place: Place): Fault {
  return {
    ...place,
    severity: 'error',
    message: `the form has more than ${barLimit} bars from here on; remove some repeats`,
  };
}

function tooMuch(place: Place): Fault {
  return {
    ...place,
    severity: 'error',
    message: `the form and its sections have more bars, changes and cues from here on than can be played (${stepLimit}); remove some repeats`,
  };
}

/** A written bar as it would be played at the head's key and meter: for showing bars that a pass never reaches. */
export function writtenBar(chart: Chart, bar: WrittenBar, source: BarSource): PlayedBar {
  const beats = beatsOf(bar, chart.meter, chart.crooked);
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

/** Whether a chart has `[last … ]` bars, so that its final pass differs from the others. */
export function hasFinalBars(chart: Chart): boolean {
  return chart.sections.some((section) =>
    section.lines.some((line) =>
      line.items.some((item) => item.kind === 'ending-open' && item.times === 'last'),
    ),
  );
}

/** The keys of a pass, each once, in the order in which they come. */
export function keysPlayed(bars: readonly PlayedBar[]): readonly Key[] {
  return [...new Map(bars.map(({ key }) => [keyName(key), key])).values()];
}
