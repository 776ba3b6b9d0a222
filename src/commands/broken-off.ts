import { basename } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { type KeptRun, recallRun } from '../config/run-file.js';
import type { SetList } from '../setlist/set.js';
import type { BrokenRun } from '../ui/state/modes.js';
import { chartOf } from './load.js';

/** Where a run of a set was broken off; `null` where none was, or one that had come no further than the set as written. */
export function brokenOff(
  file: string,
  set: SetList,
  kept: KeptRun | null = recallRun(file),
): BrokenRun | null {
  const song = kept?.songs[kept.at];
  if (!kept || !song) return null;
  const asItStands =
    kept.songs.length === set.entries.length && kept.songs.every(({ entry }, index) => entry === index);
  if (kept.at === 0 && asItStands) return null;
  const read = chartOf(song.file);
  const title = read.ok ? read.value.chart.title : basename(song.file);
  return { song: kept.at + 1, of: kept.songs.length, title: safeText(title) };
}
