import { didYouMean } from '../base/nearest.js';
import { quoted } from '../base/safe-text.js';
import { parseTempo } from '../chart/change.js';
import type { Place, Tempo } from '../chart/chart.js';
import type { Faults, Reading } from '../chart/fault.js';
import type { Entry, Value } from '../chart/yaml-source.js';
import { type Key, parseKey } from '../theory/key.js';

/** One song of a set. What is `null` is as the chart says. `gap` is seconds before the song. */
export interface SetEntry {
  readonly file: string;
  readonly key: Key | null;
  readonly tempo: Tempo | null;
  readonly gap: number;
  readonly place: Place;
}

/** An ordered list of charts. */
export interface SetList {
  readonly title: string;
  readonly date: string | null;
  readonly entries: readonly SetEntry[];
}

const setNames = ['title', 'date', 'notes', 'charts'];
const entryNames = ['file', 'key', 'tempo', 'gap', 'notes'];

/** Reads a set from the entries of a YAML file whose kind is already known. */
export function readSetEntries(entries: readonly Entry[], faults: Faults): Reading<SetList> {
  refuseUnknown(entries, setNames, 'a set', faults);
  const title = textOf(entries, 'title', faults);
  if (title === null)
    faults.error({ line: 1, column: 1 }, 'the set has no title; write “title: Harvest gathering”');
  const charts = entries.find((entry) => entry.name === 'charts')?.value;
  const songs: SetEntry[] = [];
  if (charts?.kind !== 'list' || charts.values.length === 0) {
    faults.error(
      charts?.place ?? { line: 1, column: 1 },
      'the set has no charts; write “charts:” and below it “  - file: NAME.yaml” for each song',
    );
  } else {
    for (const value of charts.values) {
      const song = readSong(value, faults);
      if (song) songs.push(song);
    }
  }
  if (faults.failed) return { ok: false, faults: faults.sorted() };
  return {
    ok: true,
    value: { title: title ?? '', date: textOf(entries, 'date', faults), entries: songs },
    faults: faults.sorted(),
  };
}

function readSong(value: Value, faults: Faults): SetEntry | null {
  if (value.kind === 'text' && value.text.trim() !== '')
    return { file: value.text.trim(), key: null, tempo: null, gap: 0, place: value.place };
  if (value.kind !== 'map') {
    faults.error(
      value.place,
      'a song of a set is a file name, or “file: NAME.yaml” with key, tempo and gap below it',
    );
    return null;
  }
  refuseUnknown(value.entries, entryNames, 'a song of a set', faults);
  const file = textOf(value.entries, 'file', faults);
  if (file === null || file === '') {
    faults.error(value.place, 'this song has no file; write “file: NAME.yaml”');
    return null;
  }
  const gap = textOf(value.entries, 'gap', faults) ?? '0';
  const seconds = Number(gap);
  if (!/^\d+(\.\d+)?$/.test(gap) || seconds > 3600)
    faults.error(placeOf(value.entries, 'gap'), `gap ${quoted(gap)} is no number of seconds from 0 to 3600`);
  return {
    file,
    key: parsed(value.entries, 'key', parseKey, faults),
    tempo: parsed(value.entries, 'tempo', parseTempo, faults),
    gap: seconds,
    place: value.place,
  };
}

function parsed<T>(
  entries: readonly Entry[],
  name: string,
  parse: (text: string) => { ok: true; value: T } | { ok: false; fault: { message: string } },
  faults: Faults,
): T | null {
  const text = textOf(entries, name, faults);
  if (text === null) return null;
  const outcome = parse(text);
  if (outcome.ok) return outcome.value;
  faults.error(placeOf(entries, name), outcome.fault.message);
  return null;
}

function textOf(entries: readonly Entry[], name: string, faults: Faults): string | null {
  const value = entries.find((entry) => entry.name === name)?.value;
  if (!value || value.kind === 'nothing') return null;
  if (value.kind === 'text') return value.text.trim();
  faults.error(value.place, `${name} is text on its line: “${name}: …”`);
  return null;
}

function placeOf(entries: readonly Entry[], name: string): Place {
  return entries.find((entry) => entry.name === name)?.value.place ?? { line: 1, column: 1 };
}

function refuseUnknown(
  entries: readonly Entry[],
  names: readonly string[],
  what: string,
  faults: Faults,
): void {
  for (const { name, place } of entries) {
    if (!names.includes(name))
      faults.warning(
        place,
        `${quoted(name)} is nothing ${what} has${didYouMean(name, names)}; it is passed over`,
      );
  }
}
