import { safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import { keysThatFit, parseVoiceRange, type VoiceRange } from '../chart/fit.js';
import { sungRange } from '../chart/tune/tune-range.js';
import { readSettings } from '../config/settings.js';
import { autoCapo, type Capo, capoAt, highestCapo } from '../theory/capo.js';
import { type Key, keyName } from '../theory/key.js';
import { exit, Stop, say } from './exit.js';
import { singerFlag } from './singer-flag.js';
import { readFlags } from './stand-start.js';
import { wholeFlag } from './whole-flag.js';

/** The options of `show`, as commander gives them. */
export interface ShowFlags {
  readonly key?: string;
  readonly for?: string;
  readonly capo?: string;
  readonly fits?: string;
  readonly range?: string;
  readonly as: 'text' | 'chart' | 'tidy-chart';
  readonly json?: boolean;
}

/** The key a chart is shown in: the one asked for, a singer's of the chart, or its own. */
export function shownKey(chart: Chart, flags: ShowFlags): Key {
  if (flags.key !== undefined && flags.for !== undefined)
    throw new Stop(exit.call, '--key and --for both set the key', 'use one of them');
  if (flags.for === undefined)
    return readFlags(chart, null, flags.key === undefined ? {} : { key: flags.key }).key;
  return singerFlag(chart, flags.for);
}

/** The capo asked for with `--capo N` or `--capo auto`, or `null`. */
export function shownCapo(key: Key, flag: string | undefined): Capo | null {
  if (flag === undefined) return null;
  return flag === 'auto' ? autoCapo(key) : capoAt(key, wholeFlag('capo', flag, 0, highestCapo));
}

/** The keys in which a chart fits a voice, as lines; the voice is a singer of the settings or given with `--range`. */
export function fitLines(chart: Chart, flags: ShowFlags): string[] {
  if (!sungRange(chart))
    throw new Stop(
      exit.input,
      `${safeText(chart.title)} does not give the range of its melody`,
      "write it in the head: range: 5, to 3'",
    );
  const voice = voiceOf(flags);
  const fits = keysThatFit(chart, voice);
  if (fits.length === 0) return ['no key fits: the melody has a wider range than the voice'];
  const steps = (count: number): string => `${count} half ${count === 1 ? 'step' : 'steps'}`;
  return fits.map(
    ({ key, below, above }) =>
      `${keyName(key).padEnd(4)} ${steps(below)} to spare below, ${steps(above)} above`,
  );
}

function voiceOf(flags: ShowFlags): VoiceRange {
  if (flags.range !== undefined) {
    const range = parseVoiceRange(flags.range);
    if (range.ok) return range.value;
    throw new Stop(exit.call, `--range ${range.fault.message}`);
  }
  const { settings, faults, file } = readSettings();
  for (const fault of faults) say(safeText(fault));
  const wanted = flags.fits?.toLowerCase();
  const found = [...settings.singers].find(([name]) => name.toLowerCase() === wanted);
  if (found) return found[1];
  throw new Stop(
    exit.call,
    `the settings have no range for “${safeText(flags.fits ?? '')}”`,
    `give the range with --range A3-D5, or write it below “singers:” in ${safeText(file)}`,
  );
}
