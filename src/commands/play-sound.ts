import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import type { BassLine } from '../chart/level.js';
import type { Settings } from '../config/settings.js';
import type { MelodyChoice } from '../playback/setup.js';
import type { InSpec } from '../player/messages.js';
import { parseIn } from '../player/out-spec.js';
import { type Click, usualClick } from '../time/click.js';
import type { Take } from '../time/conductor.js';
import type { Pattern } from '../time/pattern.js';
import { parseMix } from '../time/read-sound.js';
import type { Mix, Sound } from '../time/sound.js';
import { exit, Stop } from './exit.js';
import { ownPatterns, patternFlag } from './pattern-flag.js';
import { type PlayFlags, shareOf, tempoFlag } from './play-options.js';

/** How a chart sounds, as settings and the command line have it. */
export interface PlaySound {
  readonly sound: Sound;
  readonly mix: Mix;
  /** Where the tune is heard, while its voice is on. */
  readonly melody: MelodyChoice;
  readonly click: Click;
  /** The pattern that was asked for; `null` leaves it to the chart. */
  readonly pattern: Pattern | null;
  /** What the bass does before a change, where that was asked for. */
  readonly bass?: BassLine;
  /** The user's own patterns. */
  readonly patterns: readonly Pattern[];
}

/** Reads what concerns the sound. A chart's own program goes to the instrument's channels. */
export function soundFlags(settings: Settings, flags: PlayFlags): PlaySound {
  const patterns = ownPatterns();
  return {
    sound: settings.sound,
    ...tuneFlags(settings, flags),
    click: clickFlag(flags),
    pattern: flags.pattern === undefined ? null : patternFlag(flags.pattern, patterns),
    ...(flags.bass === undefined ? {} : { bass: flags.bass }),
    patterns,
  };
}

/**
 * What sounds, and where the tune is heard. Anybody who names its voice wants it on every output; `--melody` goes before `--voices`, and
 * both before the settings.
 */
function tuneFlags({ mix, melody }: Settings, flags: PlayFlags): Pick<PlaySound, 'mix' | 'melody'> {
  const heard = flags.voices === undefined ? mix : mixFlag(flags.voices, mix);
  if (flags.melody === undefined && flags.voices !== undefined)
    return { mix: heard, melody: melody === 'none' || melody === 'sound' ? 'others' : melody };
  const word = flags.melody ?? melody;
  const on = word === 'none' ? false : flags.melody === undefined ? heard.on.lead : true;
  return { mix: { ...heard, on: { ...heard.on, lead: on } }, melody: word === 'none' ? 'sound' : word };
}

/** A chart's own program (`midi: 26`) is that of the instrument. */
export function soundOf(chart: Chart, sound: Sound): Sound {
  if (chart.midi === null) return sound;
  const program = chart.midi - 1;
  return { ...sound, programs: { ...sound.programs, low: program, chop: program } };
}

function mixFlag(text: string, mix: Mix): Mix {
  const read = parseMix(text, mix);
  if (read.ok) return read.value;
  throw new Stop(exit.call, `--voices ${read.fault.message}`);
}

function clickFlag(flags: PlayFlags): Click {
  return {
    kind: flags.click ?? usualClick.kind,
    accents: flags.accents !== false,
    gaps: flags.gaps === undefined ? null : gapsFlag(flags.gaps),
  };
}

function gapsFlag(text: string): Click['gaps'] {
  const [, heard, silent] = /^(\d{1,2})-(\d{1,2})$/.exec(text) ?? [];
  if (heard && silent && Number(heard) >= 1 && Number(silent) >= 1)
    return { heard: Number(heard), silent: Number(silent) };
  throw new Stop(
    exit.call,
    `--gaps “${safeText(text)}” is not a pair of bars`,
    'write the number of bars with and without a click: --gaps 3-1',
  );
}

/** Reads `--to-tempo` and `--over`: a tempo that goes from the one at the beginning to another. */
export function rampFlag(chart: Chart, bars: number, flags: PlayFlags): Pick<Take, 'ramp'> {
  if (flags.toTempo === undefined) {
    if (flags.over === undefined) return {};
    throw new Stop(exit.call, '--over needs --to-tempo', 'write --to-tempo 120% --over 32');
  }
  const bpm = tempoFlag(flags.toTempo, chart.tempo, 'to-tempo');
  return { ramp: { to: shareOf(chart, bpm), bars: flags.over ?? bars } };
}

/** Reads `--pedal`. */
export function pedalFlag(text: string | undefined): InSpec | null {
  if (text === undefined) return null;
  const read = parseIn(text);
  if (read.ok) return read.value;
  throw new Stop(exit.call, `--pedal ${read.fault.message}`, 'barkline ports lists the sources');
}

/** Reads `--follow`. */
export function followFlag(text: string | undefined): InSpec | null {
  if (text === undefined) return null;
  const read = parseIn(text);
  if (read.ok) return read.value;
  throw new Stop(exit.call, `--follow ${read.fault.message}`, 'barkline ports lists the sources');
}
