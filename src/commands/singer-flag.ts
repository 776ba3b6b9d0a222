import { didYouMean } from '../base/nearest.js';
import { fewNames, safeText } from '../base/safe-text.js';
import type { Chart } from '../chart/chart.js';
import type { VoiceRange } from '../chart/fit.js';
import type { Settings } from '../config/settings.js';
import { type Key, keyName } from '../theory/key.js';
import { exit, Stop } from './exit.js';

/** Reads `--for`: the key that a chart has for a singer. */
export function singerFlag(chart: Chart, text: string): Key {
  const singer = chart.singers.find(({ name }) => name.toLowerCase() === text.toLowerCase());
  if (singer) return singer.key;
  const names = chart.singers.map(({ name }) => name);
  const known = names.length === 0 ? 'the chart names no singers' : `it names ${fewNames(names)}`;
  throw new Stop(
    exit.call,
    `${safeText(chart.title)} has no key for “${safeText(text)}”${didYouMean(text, names)}; ${known}`,
    'add it below “singers:” in the head of the chart, or use --key',
  );
}

/**
 * The range of the singer, from the settings: the singer that is named, else the one for whom the chart has this key; `null` where
 * nobody is known.
 */
export function singerVoice(
  chart: Chart,
  key: Key,
  named: string | null,
  { singers }: Pick<Settings, 'singers'>,
): VoiceRange | null {
  const byKey = chart.singers.find((one) => keyName(one.key) === keyName(key))?.name ?? null;
  const name = (named ?? byKey)?.toLowerCase();
  return [...singers].find(([one]) => one.toLowerCase() === name)?.[1] ?? null;
}
