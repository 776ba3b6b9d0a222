import type { Key } from '../theory/key.js';
import { waitLimits } from './change.js';
import { type BarSource, type Chart, feltBeats, type Place, type PlayedBar } from './chart.js';
import { type Context, changed } from './context.js';
import type { Fault } from './fault.js';
import { barLimit, stepLimit } from './limits.js';
import type { WrittenBar } from './play-through.js';
import { beatsOf, playedCells } from './played-cells.js';
import { SectionSteps } from './section-steps.js';
import { Slowing } from './slowing.js';

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
  const slowing = new Slowing();
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
        else if (step.kind === 'in-tempo') slowing.end(bars);
        else if (step.kind === 'change') {
          if (step.change.kind === 'slow') slowing.begin(bars, step.change.percent);
          else if (step.change.kind === 'wait') stopBehind(bars, step.change.beats);
          else context = changed(context, step.change);
        } else {
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
      slowing.end(bars);
    }
  }
  return { bars, fault: null };
}

/**
 * The band stops behind the last of these bars: for a bar of its meter where nothing is written. Before the first bar there is
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

/** Whether a chart has `[last … ]` bars, so that its final pass differs from the others. */
export function hasFinalBars(chart: Chart): boolean {
  return chart.sections.some((section) =>
    section.lines.some((line) =>
      line.items.some((item) => item.kind === 'ending-open' && item.times === 'last'),
    ),
  );
}
