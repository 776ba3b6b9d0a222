import { type Chart, type PlayedBar, quartersPerBeat, quarterTempo } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import type { Key } from '../theory/key.js';
import type { SetEntry } from './set.js';

/** How a song of a set is played: what the set says, else the chart. */
export interface PlayedSong {
  readonly key: Key;
  /** Beats a minute as the chart counts, and the share of the chart's own tempo. */
  readonly bpm: number;
  readonly share: number;
  readonly passes: number;
  readonly countIn: number;
}

/** What of an entry decides how its song is played. */
export type SongWish = Pick<SetEntry, 'key' | 'singer' | 'tempo' | 'passes' | 'countIn'>;

/** How a song is played; a singer whom the chart does not know leaves its own key. */
export function playedSong(chart: Chart, entry: SongWish): PlayedSong {
  const bpm = entry.tempo
    ? quarterTempo(entry.tempo) / quarterTempo({ ...chart.tempo, bpm: 1 })
    : chart.tempo.bpm;
  return {
    key: entry.key ?? singerKey(chart, entry.singer) ?? chart.key,
    bpm,
    share: bpm / chart.tempo.bpm,
    passes: entry.passes,
    countIn: entry.countIn ?? 1,
  };
}

/** The key a chart has for a singer, by name, small letters or large; `null` for one it does not know. */
export function singerKey(chart: Pick<Chart, 'singers'>, singer: string | null): Key | null {
  if (singer === null) return null;
  const known = chart.singers.find(({ name }) => name.toLowerCase() === singer.toLowerCase());
  return known?.key ?? null;
}

/**
 * Seconds a song takes from the first beat of its count-in to its end: every bar at its own tempo, the last pass with the
 * bars that only it has.
 */
export function songSeconds(chart: Chart, song: PlayedSong): number {
  const usual = unroll(chart, { key: song.key }).bars;
  const last = unroll(chart, { key: song.key, final: true }).bars;
  const first = song.passes > 1 ? usual[0] : last[0];
  const count = first ? song.countIn * countSeconds(first) : 0;
  return (count + (song.passes - 1) * sum(usual) + sum(last)) / song.share;
}

function sum(bars: readonly PlayedBar[]): number {
  return bars.reduce((total, bar, index) => total + barSeconds(bar, bars[(index + 1) % bars.length]), 0);
}

/** A bar of count-in before a bar: in time, whatever that one waits for or slows down to. */
function countSeconds({ beats, meter, tempo }: PlayedBar): number {
  return (60 * beats * quartersPerBeat(meter)) / quarterTempo(tempo);
}

/**
 * A bar at the chart's own tempo, slowing down where it does; held chords and stops of the band for as long as they are
 * written, a stop in the tempo of what comes.
 */
function barSeconds(bar: PlayedBar, next: PlayedBar = bar): number {
  const { beats, cells, meter, slowing, wait = 0 } = bar;
  const beat = (60 * quartersPerBeat(meter)) / quarterTempo(bar.tempo);
  const shareAt = (place: number): number => slowing?.[Math.ceil(place) - 1] ?? 1;
  const inBeats = Array.from(
    { length: Math.ceil(beats) },
    (_, index) => Math.min(1, beats - index) / shareAt(index + 1),
  );
  const held = cells.map((cell) => ((cell.hold ?? cell.beats) - cell.beats) / shareAt(cell.at + cell.beats));
  const behind = quarterTempo(next.tempo) * (next.slowing?.[0] ?? 1);
  const stop = (wait * 60 * quartersPerBeat(meter)) / behind;
  return beat * [...inBeats, ...held].reduce((total, one) => total + one, 0) + stop;
}

/** Minutes and seconds: `3:07`. */
export function clockText(seconds: number): string {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}
