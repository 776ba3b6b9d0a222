import type { DiaryEntry } from '../shed/diary.js';
import { type HeardWeek, heardWeeks, lateChanges } from '../shed/heard-summary.js';
import { barPlot, curve } from '../shed/plot.js';
import { print } from './exit.js';

/** The most weeks that are drawn, and the most changes that are named. */
const mostWeeks = 26;
const mostLate = 5;

/** What the ear heard, for `diary --json`. */
export function heardJson(entries: readonly DiaryEntry[]): object {
  return {
    weeks: heardWeeks(entries),
    late: lateChanges(entries).map(({ at, ...change }) => ({ ...change, at: new Date(at).toISOString() })),
  };
}

/** What the ear heard: spread and mean of the chops over weeks, and the changes that come late most often. Nothing where nothing was heard. */
export function printHeard(entries: readonly DiaryEntry[], width: number, unicode: boolean): void {
  const weeks = heardWeeks(entries)
    .filter(({ chops }) => chops !== null)
    .slice(-mostWeeks);
  if (weeks.length > 0) {
    print('', 'Spread of your chops by week, as heard (less is steadier)');
    const bars = weeks.map((week) => ({
      label: week.week,
      value: week.chops?.spread ?? 0,
      says: weekText(week),
    }));
    for (const line of barPlot(bars, width, unicode)) print(line);
  }
  const led = weeks.flatMap(({ lead }) => (lead === null ? [] : [{ value: lead }]));
  if (led.length > 1) {
    print('', 'Chops against the beat by week, in ms: above the line is behind the beat, below it ahead');
    for (const line of curve(led, { height: 5, width, target: 0, unicode })) print(line);
  }
  const late = lateChanges(entries).slice(0, mostLate);
  if (late.length > 0) print('', 'Chord changes that are late most often');
  for (const { label, late: times, of, ms } of late)
    print(`    ${label}: ${times} of ${of} times, by ${ms} ms`);
}

function weekText({ chops, lead, rang, stopped }: HeardWeek): string {
  const spread = `${(chops?.spread ?? 0).toFixed(0)} ms`;
  const where =
    lead === null
      ? ''
      : Math.round(lead) === 0
        ? ', on the beat'
        : `, ${Math.abs(Math.round(lead))} ms ${lead < 0 ? 'ahead' : 'behind'}`;
  const rung = rang > 0 ? `, ${rang} of ${stopped} rang on` : '';
  return `${spread}${where}${rung}`;
}

/** Columns of `diary --csv` on what was heard, and a pass's values in them; `null` for what is not known. */
export const heardColumns = [
  'chops mean ms',
  'chops spread ms',
  'against the beat',
  'low notes mean ms',
  'low notes spread ms',
  'late changes',
  'wrong chords',
  'chops rang on',
  'chops judged',
] as const;

/** A pass's values in `heardColumns`. */
export function heardCells({ heard }: DiaryEntry): readonly (string | number | null)[] {
  if (!heard) return heardColumns.map(() => null);
  const { chops, lows, absolute, changes, wrong, rang, stopped } = heard;
  const late = changes
    .filter((one) => one.late > 0)
    .map(({ numbers, late: times, of, ms }) => `${numbers} ${times} of ${of} by ${ms}`);
  const others = wrong.map(([number, sounded]) => (sounded === null ? number : `${number} like ${sounded}`));
  return [
    chops?.mean ?? null,
    chops?.spread ?? null,
    absolute ? 'yes' : 'no',
    lows?.mean ?? null,
    lows?.spread ?? null,
    late.join('; '),
    others.join('; '),
    rang,
    stopped,
  ];
}
