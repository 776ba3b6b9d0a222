import type { Chart } from '../chart/chart.js';
import type { SetEntry } from '../setlist/set.js';
import { arrange } from '../time/arrange.js';
import { instrumentOf } from './instrument-flag.js';
import { outputsFor } from './outputs.js';
import { planOf, setSettings } from './plan-flags.js';
import { loopFlag, type PlayFlags, wholeFlag } from './play-options.js';
import { playPlain } from './play-plain.js';
import { followFlag, rampFlag, soundFlags, soundOf } from './play-sound.js';
import { readFlags } from './stand-start.js';

/** Plays one chart plainly, as the flags and a set's entry say. */
export function plainChart(chart: Chart, entry: SetEntry | null, flags: PlayFlags): Promise<number> {
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
