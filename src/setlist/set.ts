import { didYouMean } from '../base/nearest.js';
import { quoted } from '../base/safe-text.js';
import { parseTempo } from '../chart/change.js';
import type { FormEntry, Place, Tempo } from '../chart/chart.js';
import type { Faults, Reading } from '../chart/fault.js';
import { readForm } from '../chart/read-form.js';
import type { Entry, Value } from '../chart/yaml-source.js';
import { type Key, parseKey } from '../theory/key.js';

/** One song of a set. What is `null` is as the chart says. */
export interface SetEntry {
  readonly file: string;
  readonly key: Key | null;
  /** Who sings it: the chart knows in which key. */
  readonly singer: string | null;
  readonly tempo: Tempo | null;
  readonly pattern: string | null;
  /** Another form than the chart's, of its sections. */
  readonly form: readonly FormEntry[] | null;
  readonly passes: number;
  readonly countIn: number | null;
  /** Seconds before the song, or `wait`: until somebody says so; `null` where nothing is said. */
  readonly gap: number | 'wait' | null;
  readonly notes: string | null;
  /** A MIDI program to send before it. */
  readonly program: SongProgram | null;
  /** Minutes of a break before it; 0 for none. */
  readonly breakBefore: number;
  readonly place: Place;
}

/** A MIDI program, 1–128, and the channel it goes to, 1–16; `null`: to those the rhythm part is played on. */
export interface SongProgram {
  readonly number: number;
  readonly channel: number | null;
}

/** An ordered list of charts. */
export interface SetList {
  readonly title: string;
  readonly date: string | null;
  readonly entries: readonly SetEntry[];
}

const setNames = ['title', 'date', 'notes', 'charts'];
const entryNames = [
  'file',
  'key',
  'singer',
  'tempo',
  'pattern',
  'form',
  'passes',
  'count-in',
  'gap',
  'notes',
  'program',
];
/** The longest gap, seconds, and the longest break, minutes. */
const mostGap = 3600;
const mostBreak = 240;
/** The most songs of a set. */
const mostSongs = 1000;

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
    let pause = 0;
    let pausedAt: Place | null = null;
    for (const value of charts.values) {
      const minutes = readBreak(value, faults);
      if (minutes !== null) {
        pause += minutes;
        pausedAt = value.place;
        continue;
      }
      const song = readSong(value, faults);
      if (song && songs.length === mostSongs) {
        faults.error(value.place, `a set has at most ${mostSongs} songs; put the rest into a set of its own`);
        break;
      }
      if (song) songs.push({ ...song, breakBefore: pause });
      pause = 0;
      pausedAt = null;
    }
    if (pausedAt) faults.warning(pausedAt, 'no song follows this break, so it is the end');
  }
  if (faults.failed) return faults.refused();
  return faults.with({ title: title ?? '', date: textOf(entries, 'date', faults), entries: songs });
}

/** `- break: 15`, in minutes; `null` where the value is no break. */
function readBreak(value: Value, faults: Faults): number | null {
  if (value.kind !== 'map' || !value.entries.some(({ name }) => name === 'break')) return null;
  refuseUnknown(value.entries, ['break'], 'a break', faults);
  const text = textOf(value.entries, 'break', faults) ?? '';
  const minutes = Number(text);
  if (/^\d+(\.\d+)?$/.test(text) && minutes > 0 && minutes <= mostBreak) return minutes;
  faults.error(
    placeOf(value.entries, 'break'),
    `break ${quoted(text)} is no number of minutes up to ${mostBreak}; write “break: 15”`,
  );
  return 0;
}

/** How a song is played about which the set says nothing. */
export const usualSong = {
  key: null,
  singer: null,
  tempo: null,
  pattern: null,
  form: null,
  passes: 1,
  countIn: null,
  gap: null,
  notes: null,
  program: null,
  breakBefore: 0,
} as const;

function readSong(value: Value, faults: Faults): SetEntry | null {
  if (value.kind === 'text' && value.text.trim() !== '')
    return { ...usualSong, file: value.text.trim(), place: value.place };
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
  const key = parsed(value.entries, 'key', parseKey, faults);
  const singer = textOf(value.entries, 'singer', faults);
  if (key && singer !== null)
    faults.error(placeOf(value.entries, 'singer'), 'a song has a key or a singer in the set, not both');
  return {
    ...usualSong,
    file,
    key,
    singer,
    tempo: parsed(value.entries, 'tempo', parseTempo, faults),
    pattern: textOf(value.entries, 'pattern', faults),
    form: formOf(value.entries, faults),
    passes: whole(value.entries, 'passes', [1, 1000], faults) ?? 1,
    countIn: whole(value.entries, 'count-in', [0, 2], faults),
    gap: gapOf(value.entries, faults),
    notes: textOf(value.entries, 'notes', faults),
    program: programOf(value.entries, faults),
    place: value.place,
  };
}

function formOf(entries: readonly Entry[], faults: Faults): readonly FormEntry[] | null {
  const value = entries.find(({ name }) => name === 'form')?.value;
  if (!value) return null;
  if (value.kind === 'text') return readForm(value.lines, faults);
  if (value.kind === 'list' && value.values.every((one) => one.kind === 'text'))
    return value.values.flatMap((one) => (one.kind === 'text' ? readForm(one.lines, faults) : []));
  faults.error(value.place, 'the form is a line of section names: “form: V, C, V, C x2”');
  return null;
}

function programOf(entries: readonly Entry[], faults: Faults): SongProgram | null {
  const text = textOf(entries, 'program', faults);
  if (text === null) return null;
  const [, number = '', channel] = /^(\d{1,3})(?:\s*,\s*channel\s+(\d{1,2}))?$/.exec(text) ?? [];
  const program = Number(number);
  if (
    program >= 1 &&
    program <= 128 &&
    (channel === undefined || (Number(channel) >= 1 && Number(channel) <= 16))
  )
    return { number: program, channel: channel === undefined ? null : Number(channel) };
  faults.error(
    placeOf(entries, 'program'),
    `program ${quoted(text)} is no whole number from 1 to 128; with a channel from 1 to 16 it is “program: 12, channel 5”`,
  );
  return null;
}

function gapOf(entries: readonly Entry[], faults: Faults): number | 'wait' | null {
  const gap = textOf(entries, 'gap', faults);
  if (gap === 'wait' || gap === null) return gap;
  const seconds = Number(gap);
  if (/^\d+(\.\d+)?$/.test(gap) && seconds <= mostGap) return seconds;
  faults.error(
    placeOf(entries, 'gap'),
    `gap ${quoted(gap)} is neither a number of seconds from 0 to ${mostGap} nor “wait”`,
  );
  return 0;
}

function whole(
  entries: readonly Entry[],
  name: string,
  [least, most]: readonly [number, number],
  faults: Faults,
): number | null {
  const text = textOf(entries, name, faults);
  if (text === null) return null;
  const number = Number(text);
  if (/^\d+$/.test(text) && number >= least && number <= most) return number;
  faults.error(placeOf(entries, name), `${name} ${quoted(text)} is no whole number from ${least} to ${most}`);
  return null;
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
        () => `${quoted(name)} is nothing ${what} has${didYouMean(name, names)}; it is passed over`,
      );
  }
}
