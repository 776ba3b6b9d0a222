import type { Chart } from '../chart/chart.js';
import { asPlayed } from '../setlist/as-played.js';
import { playedSong } from '../setlist/running-order.js';
import type { SetEntry } from '../setlist/set.js';
import { arrange } from '../time/arrange.js';
import { instrumentOf } from './instrument-flag.js';
import { outputsFor } from './outputs.js';
import { planOf, setSettings } from './plan-flags.js';
import { loopFlag, type PlayFlags, wholeFlag } from './play-options.js';
import { playPlain } from './play-plain.js';
import { followFlag, rampFlag, soundFlags, soundOf } from './play-sound.js';
import { readFlags } from './stand-start.js';

/** Plays one song of a set plainly: in its key, tempo, form and pattern, as often as the set says. */
export function plainSong(read: Chart, entry: SetEntry, flags: PlayFlags): Promise<number> {
  const chart = asPlayed(read, entry);
  const song = playedSong(chart, entry);
  const told = { key: song.key, tempo: { ...chart.tempo, bpm: song.bpm } };
  return plainChart(chart, told, {
    ...flags,
    passes: flags.passes ?? String(entry.passes),
    countIn: flags.countIn ?? String(song.countIn),
  });
}

/** Plays one chart plainly, as the flags and a set's entry say. */
export function plainChart(
  chart: Chart,
  entry: Pick<SetEntry, 'key' | 'tempo'> | null,
  flags: PlayFlags,
): Promise<number> {
  const { key, share, passes, countIn } = readFlags(chart, entry, flags);
  const settings = setSettings();
  const { mix, click, pattern, patterns, ...heard } = soundFlags(settings, flags);
  const sound = soundOf(chart, heard.sound);
  const arrangement = arrange(chart, {
    key,
    share,
    instrument: instrumentOf(chart),
    plan: planOf(settings),
    sound,
    patterns,
    ...(pattern ? { pattern } : {}),
  });
  const bars = arrangement.bars.length;
  const range = flags.loop === undefined ? {} : { range: loopFlag(flags.loop, bars) };
  const from = flags.from === undefined ? 0 : wholeFlag('from', flags.from, 1, bars) - 1;
  const final = arrangement.final ? { finalScore: arrangement.final.score } : {};
  const ramp = rampFlag(chart, bars, flags);
  const take = {
    score: arrangement.score,
    ...final,
    ...range,
    ...ramp,
    passes,
    share,
    countIn,
    click,
    sound,
  };
  return playPlain({
    chart,
    arrangement,
    take,
    from,
    mix,
    outputs: outputsFor(flags, settings),
    follow: followFlag(flags.follow),
    stats: flags.stats ?? false,
  });
}
