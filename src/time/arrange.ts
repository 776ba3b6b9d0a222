import type { Chart, PlayedBar } from '../chart/chart.js';
import { tuneShift, type VoiceRange } from '../chart/fit.js';
import type { BassLine } from '../chart/level.js';
import { entryOf } from '../chart/part.js';
import { hasFinalBars, keysPlayed, unroll } from '../chart/unroll.js';
import { changesOf } from '../hand/changes.js';
import { familyOf, type KeyFamily } from '../hand/family.js';
import { soundingNotes } from '../hand/fingering.js';
import { type Hardness, hardness } from '../hand/hard-changes.js';
import type { Instrument } from '../hand/instrument.js';
import { type HandPlan, type PlanOptions, planHand } from '../hand/plan.js';
import { type Key, keyName } from '../theory/key.js';
import type { MidiNote } from '../theory/pitch.js';
import { leadBars } from './lead.js';
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
  /** The families of the other keys that the song goes to, by name; absent where it stays in its own. */
  readonly families?: ReadonlyMap<string, KeyFamily>;
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
  /** What the bass does before a change where a form entry says nothing; as the chart says when absent. */
  readonly bass?: BassLine;
  /** Patterns of the user's own, beside the built-in ones. */
  readonly patterns?: readonly Pattern[];
  readonly sound?: Sound;
  /** What the singer can sing: the tune is put into that octave; it is as near as can be to where it is written when absent. */
  readonly voice?: VoiceRange;
}

/** Arranges a chart that has been checked. */
export function arrange(chart: Chart, options: ArrangeOptions): Arrangement {
  const once = arrangePass(chart, unroll(chart, { key: options.key }).bars, options);
  const final = hasFinalBars(chart)
    ? arrangePass(chart, unroll(chart, { key: options.key, final: true }).bars, options)
    : null;
  const others = keysPlayed([...once.bars, ...(final?.bars ?? [])]).filter(
    (key) => keyName(key) !== keyName(options.key),
  );
  const family = (key: Key): KeyFamily => familyOf(key, options.instrument, options.plan);
  return {
    key: options.key,
    family: family(options.key),
    ...(others.length === 0 ? {} : { families: new Map(others.map((key) => [keyName(key), family(key)])) }),
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
    patternOf: (bar, index) => patternOf(chart, bar, options, lastOf(bars, index)),
    walks: (bar) => walks(chart, bar, options),
    ...(options.sound ? { sound: options.sound } : {}),
  });
  return { bars, plan, changeAt, hardness: hardness(plan), score: withLead(score, chart, bars, options) };
}

/** A score with the tune of its chart, where that has one. */
function withLead(
  score: Score,
  chart: Chart,
  bars: readonly PlayedBar[],
  { key, voice, sound }: ArrangeOptions,
): Score {
  const lead = leadBars(chart, bars, {
    key,
    starts: score.bars.map(({ start }) => start),
    shift: tuneShift(chart, key, voice ?? null),
    ...(sound ? { sound } : {}),
  });
  return lead.length > 0 ? { ...score, lead } : score;
}

/** What a bar is the last one of: the part of the form it is in, and the pass. */
export interface LastOf {
  readonly part: boolean;
  readonly pass: boolean;
  /** Of an entry within what a form word plays once more. */
  readonly within?: boolean;
}

/** What a bar of a pass is the last one of. A part that is played several times ends with its last time. */
export function lastOf(bars: readonly Pick<PlayedBar, 'entry' | 'again'>[], index: number): LastOf {
  const bar = bars[index];
  const next = bars[index + 1];
  const part = next === undefined || next.entry !== bar?.entry;
  const last = { part, pass: next === undefined };
  return bar?.again === undefined ? last : { ...last, within: part || next.again !== bar.again };
}

/**
 * The pattern of a bar: its form entry's own; nothing where this player leads or the song is kicked off, for the rhythm
 * part rests; else the one that was chosen, the chart's, or the basic one. An ending holds only in the last bar of its
 * entry, or of the pass where the whole chart has it; up to there it is as if it were not asked for.
 */
export function patternOf(
  chart: Chart,
  bar: Pick<PlayedBar, 'entry' | 'again'>,
  { pattern, patterns: own = [] }: Pick<ArrangeOptions, 'pattern' | 'patterns'> = {},
  last: LastOf = { part: false, pass: false },
): Pattern {
  const named = (name: string | null | undefined): Pattern | undefined =>
    name == null ? undefined : [...own, ...patterns].find((one) => one.name === name);
  const holds = (one: Pattern | undefined, isLast: boolean): Pattern | undefined =>
    one?.ends && !isLast ? undefined : one;
  const entry = entryOf(chart, bar);
  // What an entry within it says ends with that entry, what the form word says itself with all of it.
  const isLast = chart.form[bar.entry]?.pattern ? last.part : (last.within ?? last.part);
  const ownPattern = entry?.pattern ? (named(entry.pattern) ?? lowAndChop) : undefined;
  const entrys = holds(ownPattern, isLast);
  if (entrys) return entrys;
  if (entry?.who === 'me' || (entry && isKickoff(entry.section))) return rest;
  return holds(pattern, last.pass) ?? holds(named(chart.pattern), last.pass) ?? lowAndChop;
}

/** Whether a part of the form is the kick-off: somebody leads into the song, and the rhythm part comes in after it. */
export function isKickoff(section: string): boolean {
  return /^kick[ _-]?off$/i.test(section);
}

/** Whether the bass runs into the changes of a bar: as its form entry says, else as was chosen, else as the chart says. */
export function walks(
  chart: Chart,
  bar: Pick<PlayedBar, 'entry' | 'again'>,
  { bass }: Pick<ArrangeOptions, 'bass'>,
): boolean {
  return (entryOf(chart, bar)?.bass ?? bass ?? chart.bass) === 'walk';
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
