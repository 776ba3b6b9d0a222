import type { Chart, PlayedBar } from '../chart/chart.js';
import { hasFinalBars, unroll } from '../chart/unroll.js';
import { changesOf } from '../hand/changes.js';
import { familyOf, type KeyFamily } from '../hand/family.js';
import { soundingNotes } from '../hand/fingering.js';
import { type Hardness, hardness } from '../hand/hard-changes.js';
import type { Instrument } from '../hand/instrument.js';
import { type HandPlan, type PlanOptions, planHand } from '../hand/plan.js';
import type { Key } from '../theory/key.js';
import type { MidiNote } from '../theory/pitch.js';
import { lowAndChop, type Pattern, patterns, rest } from './pattern.js';
import { compileScore, type Score } from './score.js';
import type { Sound } from './sound.js';

/** A chart made ready to be played and shown: its bars in a key, the hand's plan, and the timeline. */
export interface Arrangement {
  readonly key: Key;
  readonly bars: readonly PlayedBar[];
  readonly plan: HandPlan;
  /** The family of the key: the shape that holds its 1. */
  readonly family: KeyFamily;
  /** For each bar and each of its cells, the index of the plan's change that holds there; −1 for none. */
  readonly changeAt: readonly (readonly number[])[];
  /** How hard each of the plan's changes is. */
  readonly hardness: readonly Hardness[];
  readonly score: Score;
  /** The final pass, when it has bars that the others have not. */
  readonly final: ArrangedPass | null;
}

/** What of an arrangement is one pass. */
export type ArrangedPass = Pick<Arrangement, 'bars' | 'plan' | 'changeAt' | 'hardness' | 'score'>;

/** What an arrangement is made from beside the chart. */
export interface ArrangeOptions {
  readonly key: Key;
  readonly instrument: Instrument;
  /** How the hand is planned, where it differs from the usual. */
  readonly plan?: Partial<PlanOptions>;
  /** Share of the tempo, for what is given in milliseconds. */
  readonly share: number;
  /** The right-hand pattern where a form entry has none of its own; the chart's, else the basic one, when absent. */
  readonly pattern?: Pattern;
  /** Patterns of the user's own, beside the built-in ones. */
  readonly patterns?: readonly Pattern[];
  readonly sound?: Sound;
}

/** Arranges a chart that has been checked. */
export function arrange(chart: Chart, options: ArrangeOptions): Arrangement {
  const once = arrangePass(chart, unroll(chart, { key: options.key }).bars, options);
  const final = hasFinalBars(chart)
    ? arrangePass(chart, unroll(chart, { key: options.key, final: true }).bars, options)
    : null;
  return {
    key: options.key,
    family: familyOf(options.key, options.instrument, options.plan),
    ...once,
    final,
  };
}

function arrangePass(chart: Chart, bars: readonly PlayedBar[], options: ArrangeOptions): ArrangedPass {
  const plan = planHand(changesOf(bars), options.instrument, options.plan);
  const changeAt = indexChanges(bars, plan);
  const notesOf = (bar: number, cell: number): readonly MidiNote[] => {
    const fingering = plan.changes[changeAt[bar]?.[cell] ?? -1]?.fingering;
    if (!fingering) return [];
    return soundingNotes(options.instrument, fingering.frets).filter((note) => note !== null);
  };
  const score = compileScore(bars, {
    notesOf,
    share: options.share,
    patternOf: (bar) => patternOf(chart, bar, options),
    ...(options.sound ? { sound: options.sound } : {}),
  });
  return { bars, plan, changeAt, hardness: hardness(plan), score };
}

/**
 * The pattern of a bar: its form entry's own; nothing where this player leads, for the rhythm part rests; else the one
 * that was chosen, the chart's, or the basic one.
 */
export function patternOf(
  chart: Chart,
  bar: Pick<PlayedBar, 'entry'>,
  { pattern, patterns: own = [] }: Pick<ArrangeOptions, 'pattern' | 'patterns'> = {},
): Pattern {
  const named = (name: string): Pattern | undefined => [...own, ...patterns].find((one) => one.name === name);
  const entry = chart.form[bar.entry];
  if (entry?.pattern) return named(entry.pattern) ?? lowAndChop;
  if (entry?.who === 'me') return rest;
  return pattern ?? (chart.pattern === null ? undefined : named(chart.pattern)) ?? lowAndChop;
}

function indexChanges(bars: readonly PlayedBar[], plan: HandPlan): number[][] {
  let next = 0;
  return bars.map((bar, index) =>
    bar.cells.map((cell) => {
      const change = plan.changes[next];
      if (change && change.bar === index && Math.abs(change.beat - cell.at) < 1e-9) next += 1;
      return cell.chord === null ? -1 : next - 1;
    }),
  );
}
