import type { Key } from '../theory/key.js';
import type { BarSource, Chart, Meter, Place, PlayedBar } from './chart.js';
import { type Context, changed } from './context.js';
import type { Fault } from './fault.js';
import { barLimit, stepLimit } from './limits.js';
import type { WrittenBar } from './play-through.js';
import { beatsOf, playedCells } from './played-cells.js';
import { SectionSteps } from './section-steps.js';
import { shareFault } from './share-fault.js';
import { addsUp } from './shares.js';

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

/** Plays a chart's form through once: repeats, endings, derived sections and changes become a list of bars. */
export function unroll(chart: Chart, options: UnrollOptions = {}): Unrolled {
  const bars: PlayedBar[] = [];
  const final = options.final ?? false;
  const reader = new SectionSteps(chart.sections, final);
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
          const { meter } = context;
          if (!addsUp(step.bar.cells, meter, chart.crooked))
            return { bars, fault: sharedWrongly(chart, step, meter) };
          const beats = beatsOf(step.bar, meter, chart.crooked);
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
            meter,
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

function sharedWrongly(
  chart: Chart,
  { bar, source }: { readonly bar: WrittenBar; readonly source: BarSource },
  meter: Meter,
): Fault {
  const letters = chart.sections[source.section]?.letters ? chart.key : null;
  return {
    ...bar.place,
    severity: 'error',
    message: `where the form comes to it, ${shareFault(bar.cells, meter, chart.crooked, letters)}`,
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

/** A written bar as it would be played at the head's key and meter: for showing bars that a pass never comes to. */
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
