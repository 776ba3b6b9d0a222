import { didYouMean } from '../base/nearest.js';
import { fewNames, quoted } from '../base/safe-text.js';
import type { Chart, FormEntry, Place } from '../chart/chart.js';
import { Faults } from '../chart/fault.js';
import { checkForm } from '../chart/read-form.js';
import { hasFinalBars, unroll } from '../chart/unroll.js';
import { type Key, keyName } from '../theory/key.js';
import { playedSong, singerKey } from './running-order.js';
import type { SetEntry } from './set.js';

/**
 * The chart as a set wants it: with the set's form, pattern and program. Key, tempo and passes are `playedSong`'s; a key in the
 * set's form is what sounds there, in the key that the set has the song in.
 */
export function asPlayed(
  chart: Chart,
  entry: Pick<SetEntry, 'form' | 'pattern' | 'program' | 'key' | 'singer'>,
): Chart {
  const home = entry.key ?? singerKey(chart, entry.singer) ?? chart.key;
  const own = entry.program && entry.program.channel === null ? entry.program.number : null;
  return {
    ...chart,
    form: entry.form?.map((one) => withHome(one, home)) ?? chart.form,
    pattern: entry.pattern ?? chart.pattern,
    midi: own ?? chart.midi,
  };
}

function withHome(entry: FormEntry, home: Key): FormEntry {
  return entry.key ? { ...entry, key: { key: entry.key.key, home } } : entry;
}

/** What a set asks for that its chart cannot give. An error keeps the song from being played. */
export interface SongFault {
  readonly severity: 'error' | 'warning';
  readonly place: Place;
  readonly message: string;
}

/** What keeps a form with form words from being played: a mark that is not there. */
function wayFaults(chart: Chart, form: Chart['form']): readonly SongFault[] {
  const passes = hasFinalBars(chart) ? [true, false] : [true];
  const fault = passes.map((final) => unroll({ ...chart, form }, { final }).fault).find((one) => one);
  if (!fault) return [];
  const { line, column, severity, message } = fault;
  return [{ severity, place: { line, column }, message }];
}

/** What is wrong between a song of a set and its chart; `patterns` are the names that are known. */
export function songFaults(chart: Chart, entry: SetEntry, patterns: readonly string[]): readonly SongFault[] {
  const { place } = entry;
  const faults: SongFault[] = [];
  const { key } = playedSong(chart, entry);
  if (key.mode !== chart.key.mode)
    faults.push({
      severity: 'error',
      place,
      message: `the chart is in a ${chart.key.mode} key, but ${keyName(key)} is not; write a key such as ${chart.key.mode === 'minor' ? 'Am' : 'A'}`,
    });
  if (entry.singer !== null && singerKey(chart, entry.singer) === null) {
    const names = chart.singers.map(({ name }) => name);
    const known = names.length === 0 ? 'it names no singers' : `it has ${fewNames(names)}`;
    faults.push({
      severity: 'warning',
      place,
      message: `the chart has no key for ${quoted(entry.singer)}${didYouMean(entry.singer, names)}; ${known}, so it is played in its own key`,
    });
  }
  if (entry.pattern !== null && !patterns.includes(entry.pattern))
    faults.push({
      severity: 'warning',
      place,
      message: `${quoted(entry.pattern)} is not a pattern${didYouMean(entry.pattern, patterns)}; low-chop is played instead`,
    });
  if (entry.form) {
    const told = new Faults();
    checkForm(
      entry.form,
      chart.sections.map(({ name }) => name),
      told,
    );
    const first = told.sorted();
    for (const { line, column, severity, message } of first)
      faults.push({ severity, place: { line, column }, message });
    if (told.count > first.length)
      faults.push({
        severity: 'error',
        place,
        message: `its form has ${told.count - first.length} more errors like these`,
      });
    if (!told.failed && entry.form.some(({ way }) => way)) faults.push(...wayFaults(chart, entry.form));
    if (entry.form.length === 0)
      faults.push({ severity: 'error', place, message: 'its form has no sections' });
  }
  return faults;
}
