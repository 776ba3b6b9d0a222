import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import type { Settings } from '../config/settings.js';
import type { BookWishes } from '../exchange/format.js';
import type { WrittenName } from '../exchange/formats.js';
import type { Song } from '../exchange/song.js';
import { asPlayed } from '../setlist/as-played.js';
import { playedSong } from '../setlist/running-order.js';
import type { SetEntry } from '../setlist/set.js';
import { type Key, keyName } from '../theory/key.js';
import { usualClick } from '../time/click.js';
import { voices } from '../time/event.js';
import type { Pattern } from '../time/pattern.js';
import { parseMix } from '../time/read-sound.js';
import type { Mix } from '../time/sound.js';
import { exit, Stop } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { keyFlag, tempoFlag } from './play-options.js';
import { soundOf } from './play-sound.js';
import { planOf } from './settings.js';

/*
 * From a chart, what a set says about it, the settings and the flags to a song to be exported. Nothing here reads or writes;
 * a wrong flag is reported by throwing `Stop`.
 */

/** The options of `export`. */
export interface ExportFlags {
  readonly to?: WrittenName;
  readonly output?: string;
  readonly key?: string;
  readonly keys?: string;
  readonly tempo?: string;
  readonly passes?: number;
  readonly countIn?: number;
  readonly voices?: string;
  readonly shapes?: boolean;
  readonly paper?: BookWishes['paper'];
  readonly large?: boolean;
  readonly leftHanded?: boolean;
  readonly blank?: NonNullable<BookWishes['blank']>;
  readonly marks?: boolean;
  readonly tune?: 'degrees';
  readonly force?: boolean;
}

/** What all songs of an export have in common. */
export interface ExportOf {
  readonly flags: ExportFlags;
  readonly settings: Settings;
  /** The user's own patterns. */
  readonly patterns: readonly Pattern[];
}

/** A song and what its file is called, without an extension. */
export interface NamedSong {
  readonly song: Song;
  readonly name: string;
}

/** A chart as it is played, by the flags first, then by the set's entry, then by itself. */
export function songOf(read: Chart, entry: SetEntry | null, { flags, settings, patterns }: ExportOf): Song {
  const chart = entry ? asPlayed(read, entry) : read;
  const played = entry ? playedSong(chart, entry) : null;
  return {
    setup: {
      chart,
      key: played?.key ?? chart.key,
      bpm: flags.tempo === undefined ? (played?.bpm ?? chart.tempo.bpm) : tempoFlag(flags.tempo, chart.tempo),
      passes: flags.passes ?? entry?.passes ?? 1,
      countIn: flags.countIn ?? played?.countIn ?? 1,
      instrument: instrumentOf(chart),
      plan: planOf(settings),
      sound: soundOf(chart, settings.sound),
      mix: mixOf(flags, settings.mix),
      click: usualClick,
      pattern: null,
      patterns,
      ramp: null,
      range: null,
      picks: [],
    },
    notes: entry?.notes ?? null,
  };
}

/** In a file everything sounds by default: other programs can mute a track. */
function mixOf(flags: ExportFlags, mix: Mix): Mix {
  const all: Mix = {
    ...mix,
    alone: null,
    on: Object.fromEntries(voices.map((voice) => [voice, true])) as Mix['on'],
  };
  if (flags.voices === undefined) return all;
  const read = parseMix(flags.voices, all);
  if (read.ok) return read.value;
  throw new Stop(exit.call, `--voices ${read.fault.message}`);
}

/** A chart's song in each key that is asked for, which must be of its mode; in its own where none is. */
export function inKeys(song: Song, flags: ExportFlags): readonly Song[] {
  const { chart } = song.setup;
  const keys = keysGiven(flags);
  const wrong = keys.find(({ mode }) => mode !== chart.key.mode);
  if (wrong)
    throw new Stop(
      exit.call,
      `${safeText(chart.title)} is in a ${chart.key.mode} key; ${keyName(wrong)} is not`,
      `write the key as ${chart.key.mode === 'minor' ? 'Am' : 'A'}`,
    );
  return keys.length === 0 ? [song] : keys.map((key) => inKey(song, key));
}

/** A set's song on each tonic that is asked for: a set has major and minor songs. In its own key where none is. */
export function onTonics(song: Song, flags: ExportFlags): readonly Song[] {
  const { mode } = song.setup.chart.key;
  const keys = keysGiven(flags);
  return keys.length === 0 ? [song] : keys.map(({ tonic }) => inKey(song, { tonic, mode }));
}

function keysGiven({ keys, key }: ExportFlags): readonly Key[] {
  const asked = keys?.split(',').map((text) => text.trim()) ?? (key === undefined ? [] : [key]);
  return asked.map(keyFlag);
}

function inKey(song: Song, key: Key): Song {
  return { ...song, setup: { ...song.setup, key } };
}

/** The songs that one song became, each with its key in its name where there are several. */
export function named(songs: readonly Song[], name: string): readonly NamedSong[] {
  return songs.map((song) => ({
    song,
    name: songs.length > 1 ? `${name}-${keyName(song.setup.key)}` : name,
  }));
}
