import { resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import { remember } from '../config/remembered.js';
import type { Settings } from '../config/settings.js';
import type { SetEntry } from '../setlist/set.js';
import { arrange } from '../time/arrange.js';
import { type Choices, type Decided, withChoices } from '../ui/choices.js';
import type { StandStart } from '../ui/model.js';
import { exit, Stop } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { loadChart, loadGood, songPath } from './load.js';
import { outputsFor } from './outputs.js';
import { planOf, setSettings } from './plan-flags.js';
import { keyFlag, loopFlag, type PlayFlags, shareOf, tempoFlag, wholeFlag } from './play-options.js';
import { playPlain } from './play-plain.js';
import { followFlag, rampFlag, soundFlags, soundOf } from './play-sound.js';
import { settingsOf, whoFlag } from './shed-common.js';

/** Plays a chart or a set: on the stand, or plainly when asked to or when stdout is no terminal. */
export async function play(file: string, flags: PlayFlags): Promise<number> {
  const content = loadGood(file);
  if (content.kind === 'instrument' || content.kind === 'pattern')
    throw new Stop(
      exit.call,
      `${safeText(file)} is ${content.kind === 'instrument' ? 'an' : 'a'} ${content.kind}; it cannot be played by itself`,
      'name a chart or a set',
    );
  remember({ last: resolve(file) });
  if (flags.plain || !process.stdout.isTTY || !process.stdin.isTTY) {
    if (content.kind === 'chart') return plainChart(content.chart, null, flags);
    for (const [index, entry] of content.set.entries.entries()) {
      // Where nobody can be waited for, a gap that waits is none.
      if (index > 0) await pause((entry.gap === 'wait' ? 0 : entry.gap) + 60 * entry.breakBefore);
      const status = await plainChart(loadChart(songPath(file, content.set, index)), entry, flags);
      if (status !== exit.done) return status;
    }
    return exit.done;
  }
  // What the call has wrong is told before the screen is taken.
  if (content.kind === 'chart') standStart(content.chart, null, flags, settingsOf(whoFlag(flags.who)));
  const { openStand } = await import('./stand.js');
  return openStand({ file: resolve(file), flags, who: whoFlag(flags.who) });
}

function pause(seconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, seconds * 1000));
}

function plainChart(chart: Chart, entry: SetEntry | null, flags: PlayFlags): Promise<number> {
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

/** What the flags say about a chart. The command line goes before the set's entry, and that before the chart. */
export function readFlags(chart: Chart, entry: Pick<SetEntry, 'key' | 'tempo'> | null, flags: PlayFlags) {
  const key = flags.key === undefined ? (entry?.key ?? chart.key) : keyFlag(flags.key);
  if (key.mode !== chart.key.mode) {
    throw new Stop(
      exit.call,
      `${safeText(chart.title)} is in ${chart.key.mode}; it cannot be played in a ${key.mode} key`,
      `write the key as ${chart.key.mode === 'minor' ? 'Am' : 'A'}`,
    );
  }
  const bpm =
    flags.tempo === undefined ? (entry?.tempo?.bpm ?? chart.tempo.bpm) : tempoFlag(flags.tempo, chart.tempo);
  const passes = flags.passes === undefined ? 1 : wholeFlag('passes', flags.passes, 1, 1000);
  const countIn = flags.countIn === undefined ? 1 : wholeFlag('count-in', flags.countIn, 0, 2);
  return { key, bpm, share: shareOf(chart, bpm), passes, countIn };
}

/** How a chart starts on the stand, by the flags: passes are without end unless they say otherwise. */
export function standStart(
  chart: Chart,
  entry: Pick<SetEntry, 'key' | 'tempo'> | null,
  flags: PlayFlags,
  settings: Settings,
  kept: unknown = null,
): StandStart {
  const { key, bpm, countIn, passes } = readFlags(chart, entry, flags);
  const bars = unroll(chart).bars.length;
  const heard = soundFlags(settings, flags);
  const start: StandStart = {
    key,
    bpm,
    countIn,
    instrument: instrumentOf(chart),
    plan: planOf(settings),
    ...heard,
    sound: soundOf(chart, heard.sound),
    ramp: rampFlag(chart, bars, flags).ramp ?? null,
    passes: flags.passes === undefined ? null : passes,
    range: flags.loop === undefined ? null : loopFlag(flags.loop, bars),
    from: flags.from === undefined ? 0 : wholeFlag('from', flags.from, 1, bars) - 1,
  };
  return withChoices(start, kept, bars, decided(entry, flags));
}

/** What the command line or a set's entry says; what was kept for the chart has no say in it. */
function decided(entry: Pick<SetEntry, 'key' | 'tempo'> | null, flags: PlayFlags): Decided {
  const says: readonly (readonly [keyof Choices, boolean])[] = [
    ['key', flags.key !== undefined || entry?.key != null],
    ['bpm', flags.tempo !== undefined || entry?.tempo != null],
    ['countIn', flags.countIn !== undefined],
    ['click', flags.click !== undefined || flags.gaps !== undefined || flags.accents === false],
    ['pattern', flags.pattern !== undefined],
    ['mix', flags.voices !== undefined],
    // Who names a bar or passes wants them, not the loop of another day.
    ['range', flags.loop !== undefined || flags.from !== undefined || flags.passes !== undefined],
  ];
  return new Set(says.flatMap(([name, given]) => (given ? [name] : [])));
}
