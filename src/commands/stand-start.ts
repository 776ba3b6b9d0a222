import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { unroll } from '../chart/unroll.js';
import type { Settings } from '../config/settings.js';
import { singerKey } from '../setlist/running-order.js';
import type { SetEntry } from '../setlist/set.js';
import type { Key } from '../theory/key.js';
import { type Choices, type Decided, withChoices } from '../ui/state/choices.js';
import type { StandStart } from '../ui/state/modes.js';
import { exit, Stop } from './exit.js';
import { instrumentOf } from './instrument-flag.js';
import { refuseMisfit } from './pattern-flag.js';
import { keyFlag, loopFlag, type PlayFlags, shareOf, tempoFlag } from './play-options.js';
import { rampFlag, soundFlags, soundOf } from './play-sound.js';
import { planOf } from './settings.js';
import { singerFlag, singerVoice } from './singer-flag.js';
import { wholeFlag } from './whole-flag.js';

/** What a set's entry wants of a chart. */
export type Wishes = Pick<SetEntry, 'key' | 'tempo'> & Partial<Pick<SetEntry, 'singer'>>;

function keyOf(chart: Chart, entry: Wishes | null, flags: PlayFlags): Key {
  if (flags.key !== undefined) return keyFlag(flags.key);
  const own = entry?.key ?? chart.key;
  if (flags.for === undefined) return own;
  // In a set there are songs that others sing.
  return entry === null ? singerFlag(chart, flags.for) : (singerKey(chart, flags.for) ?? own);
}

/** What the flags say about a chart. The command line goes before the set's entry, and that before the chart. */
export function readFlags(chart: Chart, entry: Wishes | null, flags: PlayFlags) {
  const key = keyOf(chart, entry, flags);
  if (key.mode !== chart.key.mode) {
    throw new Stop(
      exit.call,
      `${safeText(chart.title)} is in a ${chart.key.mode} key; it cannot be played in a ${key.mode} key`,
      `write the key as ${chart.key.mode === 'minor' ? 'Am' : 'A'}`,
    );
  }
  const bpm =
    flags.tempo === undefined ? (entry?.tempo?.bpm ?? chart.tempo.bpm) : tempoFlag(flags.tempo, chart.tempo);
  return { key, bpm, share: shareOf(chart, bpm), passes: flags.passes ?? 1, countIn: flags.countIn ?? 1 };
}

/** How a chart starts on the stand, by the flags: passes are without end unless they say otherwise. */
export function standStart(
  chart: Chart,
  entry: Wishes | null,
  flags: PlayFlags,
  settings: Settings,
  kept: unknown = null,
): StandStart {
  const { key, bpm, countIn, passes } = readFlags(chart, entry, flags);
  const bars = unroll(chart).bars.length;
  const heard = soundFlags(settings, flags);
  // In a set other songs may have the meters that it is made for.
  if (entry === null && heard.pattern) refuseMisfit(chart, heard.pattern);
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
  const chosen = withChoices(start, kept, bars, decided(entry, flags));
  // Who sings is known by name, or by the key that is played in the end.
  const voice = singerVoice(chart, chosen.key, flags.for ?? entry?.singer ?? null, settings);
  return voice ? { ...chosen, voice } : chosen;
}

/** What the command line or a set's entry says; what was kept for the chart has no say in it. */
function decided(entry: Wishes | null, flags: PlayFlags): Decided {
  const says: readonly (readonly [keyof Choices, boolean])[] = [
    ['key', flags.key !== undefined || flags.for !== undefined || entry?.key != null],
    ['bpm', flags.tempo !== undefined || entry?.tempo != null],
    ['countIn', flags.countIn !== undefined],
    ['click', flags.click !== undefined || flags.gaps !== undefined || flags.accents === false],
    ['pattern', flags.pattern !== undefined],
    ['mix', flags.voices !== undefined || flags.melody !== undefined],
    ['melody', flags.voices !== undefined || flags.melody !== undefined],
    // A bar or passes on the command line override a loop that was kept.
    ['range', flags.loop !== undefined || flags.from !== undefined || flags.passes !== undefined],
  ];
  return new Set(says.flatMap(([name, given]) => (given ? [name] : [])));
}
