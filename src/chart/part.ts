import type { Chart, FormEntry, PlayedBar } from './chart.js';

/**
 * Whether two bars that follow each other in a pass stand in the same part of it: the same time through one entry of the
 * form, and for bars that a form word plays again, the entry that they were first played in.
 */
export function samePart(
  one: Pick<PlayedBar, 'entry' | 'round' | 'again'>,
  other: Pick<PlayedBar, 'entry' | 'round' | 'again'>,
): boolean {
  return one.entry === other.entry && one.round === other.round && one.again === other.again;
}

/**
 * The entry of the form that says how a bar is played. In what a form word plays once more that is the entry it was first
 * played in, with what the form word says itself going before.
 */
export function entryOf(chart: Chart, bar: Pick<PlayedBar, 'entry' | 'again'>): FormEntry | undefined {
  const entry = chart.form[bar.entry];
  const first = bar.again === undefined ? undefined : chart.form[bar.again];
  if (!entry || !first) return entry;
  const bass = entry.bass ?? first.bass;
  return {
    ...first,
    who: entry.who ?? first.who,
    pattern: entry.pattern ?? first.pattern,
    ...(bass ? { bass } : {}),
  };
}
