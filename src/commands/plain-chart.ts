import type { Chart } from '../chart/chart.js';
import type { Settings } from '../config/settings.js';
import { neckSight } from '../hand/neck-sight.js';
import { type Setup, setupOf } from '../playback/setup.js';
import { asPlayed } from '../setlist/as-played.js';
import { playedSong } from '../setlist/running-order.js';
import type { SetEntry } from '../setlist/set.js';
import { usualSight } from '../ui/state/sight.js';
import { outputsFor } from './outputs.js';
import type { PlayFlags } from './play-options.js';
import { playPlain } from './play-plain.js';
import { followFlag } from './play-sound.js';
import { settingsOf } from './settings.js';
import { standStart, type Wishes } from './stand-start.js';

/** What is played plainly of a chart, and the bar it starts at, from 0. */
export interface PlainStart {
  readonly setup: Setup;
  readonly from: number;
}

/** One song of a set: in its key, tempo, form and pattern, as often as the set says. */
export function setSongStart(read: Chart, entry: SetEntry, flags: PlayFlags, settings: Settings): PlainStart {
  const chart = asPlayed(read, entry);
  const song = playedSong(chart, entry);
  const wishes = { key: song.key, tempo: { ...chart.tempo, bpm: song.bpm }, singer: entry.singer };
  const own = {
    ...flags,
    passes: flags.passes ?? entry.passes,
    countIn: flags.countIn ?? song.countIn,
  };
  return chartStart(chart, wishes, own, settings);
}

/** One chart, as the flags and a set's entry say: once, unless they say otherwise. */
export function chartStart(
  chart: Chart,
  entry: Wishes | null,
  flags: PlayFlags,
  settings: Settings,
): PlainStart {
  const { sight: _, ...start } = standStart(chart, entry, flags, settings);
  return { setup: setupOf(chart, { ...start, passes: start.passes ?? 1 }), from: start.from };
}

/** Plays one song of a set plainly. */
export function plainSong(read: Chart, entry: SetEntry, flags: PlayFlags): Promise<number> {
  const settings = settingsOf();
  return playedPlainly(setSongStart(read, entry, flags, settings), flags, settings);
}

/** Plays one chart plainly. */
export function plainChart(chart: Chart, entry: Wishes | null, flags: PlayFlags): Promise<number> {
  const settings = settingsOf();
  return playedPlainly(chartStart(chart, entry, flags, settings), flags, settings);
}

/** Plays bars that stand in no file plainly: without end, unless the flags say how often. */
export function plainBars(chart: Chart, flags: PlayFlags): Promise<number> {
  const settings = settingsOf();
  const { setup, from } = chartStart(chart, null, flags, settings);
  return playedPlainly({ setup: { ...setup, passes: flags.passes ?? null }, from }, flags, settings);
}

function playedPlainly({ setup, from }: PlainStart, flags: PlayFlags, settings: Settings): Promise<number> {
  return playPlain({
    setup,
    from,
    told: { sight: usualSight, neck: neckSight(settings.neck, settings.hand) },
    outputs: outputsFor(flags, settings),
    follow: followFlag(flags.follow),
    stats: flags.stats ?? false,
  });
}
