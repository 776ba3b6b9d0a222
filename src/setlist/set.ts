import { quoted } from '../base/safe-text.js';
import { parseTempo } from '../chart/change.js';
import type { FormEntry, Place, Tempo } from '../chart/chart.js';
import type { Faults, Reading } from '../chart/fault.js';
import { readForm } from '../chart/read-form.js';
import { YamlFields } from '../chart/yaml-fields.js';
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
  const fields = new YamlFields(entries, faults, true);
  fields.warnUnknown('a set', setNames);
  const title = fields.text('title');
  if (title === null)
    faults.error({ line: 1, column: 1 }, 'the set has no title; write “title: Harvest gathering”');
  const charts = fields.value('charts');
  const songs: SetEntry[] = [];
  if (charts?.kind !== 'list' || charts.values.length === 0) {
    faults.error(
      charts?.place ?? { line: 1, column: 1 },
      'the set has no charts; write “charts:” and, below it, “  - file: NAME.yaml” for each song',
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
        faults.error(value.place, `a set can have at most ${mostSongs} songs; put the rest in another set`);
        break;
      }
      if (song) songs.push({ ...song, breakBefore: pause });
      pause = 0;
      pausedAt = null;
    }
    if (pausedAt) faults.warning(pausedAt, 'no song follows this break, so the set ends before it');
  }
  if (faults.failed) return faults.refused();
  return faults.with({ title: title ?? '', date: fields.text('date'), entries: songs });
}

/** `- break: 15`, in minutes; `null` where the value is not a break. */
function readBreak(value: Value, faults: Faults): number | null {
  if (value.kind !== 'map' || !value.entries.some(({ name }) => name === 'break')) return null;
  const fields = new YamlFields(value.entries, faults, true);
  fields.warnUnknown('a break', ['break']);
  const text = fields.text('break') ?? '';
  const minutes = Number(text);
  if (/^\d+(\.\d+)?$/.test(text) && minutes > 0 && minutes <= mostBreak) return minutes;
  fields.fault(
    'break',
    `break ${quoted(text)} is not a number of minutes up to ${mostBreak}; write, for example, “break: 15”`,
  );
  return 0;
}

/** How a song is played if the set says nothing about it. */
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
      'write a song of a set as a file name, or as “file: NAME.yaml” with key, tempo and gap below it',
    );
    return null;
  }
  const fields = new YamlFields(value.entries, faults, true);
  fields.warnUnknown('a song of a set', entryNames);
  const file = fields.text('file');
  if (file === null || file === '') {
    faults.error(value.place, 'this song has no file; write “file: NAME.yaml”');
    return null;
  }
  const key = fields.parsed('key', parseKey);
  const singer = fields.text('singer');
  if (key && singer !== null) fields.fault('singer', 'give a song a key or a singer in the set, not both');
  return {
    ...usualSong,
    file,
    key,
    singer,
    tempo: fields.parsed('tempo', parseTempo),
    pattern: fields.text('pattern'),
    form: formOf(fields, faults),
    passes: fields.whole('passes', 1, 1000) ?? 1,
    countIn: fields.whole('count-in', 0, 2),
    gap: gapOf(fields),
    notes: fields.text('notes'),
    program: programOf(fields),
    place: value.place,
  };
}

function formOf(fields: YamlFields, faults: Faults): readonly FormEntry[] | null {
  const value = fields.value('form');
  if (!value) return null;
  if (value.kind === 'text') return readForm(value.lines, faults);
  if (value.kind === 'list' && value.values.every((one) => one.kind === 'text'))
    return value.values.flatMap((one) => (one.kind === 'text' ? readForm(one.lines, faults) : []));
  faults.error(value.place, 'the form is a line of section names: “form: V, C, V, C x2”');
  return null;
}

function programOf(fields: YamlFields): SongProgram | null {
  const text = fields.text('program');
  if (text === null) return null;
  const [, number = '', channel] = /^(\d{1,3})(?:\s*,\s*channel\s+(\d{1,2}))?$/.exec(text) ?? [];
  const program = Number(number);
  if (
    program >= 1 &&
    program <= 128 &&
    (channel === undefined || (Number(channel) >= 1 && Number(channel) <= 16))
  )
    return { number: program, channel: channel === undefined ? null : Number(channel) };
  fields.fault(
    'program',
    `program ${quoted(text)} is not a whole number from 1 to 128; to add a channel from 1 to 16, write “program: 12, channel 5”`,
  );
  return null;
}

function gapOf(fields: YamlFields): number | 'wait' | null {
  const gap = fields.text('gap');
  if (gap === 'wait' || gap === null) return gap;
  const seconds = Number(gap);
  if (/^\d+(\.\d+)?$/.test(gap) && seconds <= mostGap) return seconds;
  fields.fault('gap', `gap ${quoted(gap)} is neither a number of seconds from 0 to ${mostGap} nor “wait”`);
  return 0;
}
