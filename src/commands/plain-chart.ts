import type { Chart } from '../chart/chart.js';
import { neckSight } from '../hand/neck-sight.js';
import { setupOf } from '../playback/setup.js';
import { asPlayed } from '../setlist/as-played.js';
import { playedSong } from '../setlist/running-order.js';
import type { SetEntry } from '../setlist/set.js';
import { outputsFor } from './outputs.js';
import type { PlayFlags } from './play-options.js';
import { playPlain } from './play-plain.js';
import { followFlag } from './play-sound.js';
import { settingsOf } from './settings.js';
import { standStart } from './stand-start.js';

/** Plays one song of a set plainly: in its key, tempo, form and pattern, as often as the set says. */
export function plainSong(read: Chart, entry: SetEntry, flags: PlayFlags): Promise<number> {
  const chart = asPlayed(read, entry);
  const song = playedSong(chart, entry);
  const wishes = { key: song.key, tempo: { ...chart.tempo, bpm: song.bpm } };
  return plainChart(chart, wishes, {
    ...flags,
    passes: flags.passes ?? entry.passes,
    countIn: flags.countIn ?? song.countIn,
  });
}

/** Plays one chart plainly, as the flags and a set's entry say: once, unless they say otherwise. */
export function plainChart(
  chart: Chart,
  entry: Pick<SetEntry, 'key' | 'tempo'> | null,
  flags: PlayFlags,
): Promise<number> {
  const settings = settingsOf();
  const { sight: _, ...start } = standStart(chart, entry, flags, settings);
  return playPlain({
    setup: setupOf(chart, { ...start, passes: start.passes ?? 1 }),
    sight: neckSight(settings.neck, settings.hand),
    from: start.from,
    outputs: outputsFor(flags, settings),
    follow: followFlag(flags.follow),
    stats: flags.stats ?? false,
  });
}
