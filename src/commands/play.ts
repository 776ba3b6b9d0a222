import { resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { remember } from '../config/remembered.js';
import { recallRun } from '../config/run-file.js';
import type { SetList } from '../setlist/set.js';
import { brokenOff } from './broken-off.js';
import { exit, Stop, say } from './exit.js';
import { refuseListening } from './listening-flags.js';
import { loadChart, loadGood, songPath } from './load.js';
import type { PlayFlags } from './play-options.js';
import { screenLack } from './screen.js';
import { settingsOf } from './settings.js';
import { whoFlag } from './shed-common.js';
import { standStart } from './stand-start.js';

/** Plays a chart or a set: on the stand, or plainly when asked to or when stdout is not a terminal. */
export async function play(file: string, flags: PlayFlags): Promise<number> {
  const content = loadGood(file);
  if (content.kind === 'instrument' || content.kind === 'pattern')
    throw new Stop(
      exit.call,
      `${safeText(file)} is ${content.kind === 'instrument' ? 'an' : 'a'} ${content.kind}, which cannot be played by itself`,
      'name a chart or a set',
    );
  remember({ last: resolve(file) });
  const lack = screenLack();
  if (flags.plain || lack !== null) {
    refuseListening(flags, flags.plain ? 'leave out --plain' : (lack ?? ''));
    if (!flags.plain && process.stdout.isTTY && process.stdin.isTTY)
      say(`${lack}; one line is printed for each bar instead`);
    if (content.kind === 'chart')
      return (await import('./plain-chart.js')).plainChart(content.chart, null, flags);
    const broken = flags.resume ? null : brokenOff(file, content.set);
    if (broken)
      say(
        `an earlier run was interrupted at song ${broken.song} of ${broken.of}, ${broken.title}; --resume continues there`,
      );
    const from = flags.resume ? resumedAt(file, content.set) : 0;
    for (const [index, entry] of content.set.entries.entries()) {
      if (index < from) continue;
      // Where nobody can be waited for, a gap that waits is none.
      if (index > from) await pause((entry.gap === 'wait' ? 0 : (entry.gap ?? 0)) + 60 * entry.breakBefore);
      const { plainSong } = await import('./plain-chart.js');
      const status = await plainSong(loadChart(songPath(file, content.set, index)), entry, flags);
      if (status !== exit.done) return status;
    }
    return exit.done;
  }
  if (flags.resume && content.kind !== 'set')
    throw new Stop(
      exit.call,
      '--resume is for a set',
      'it continues an interrupted run: barkline play SET --resume',
    );
  // What the call has wrong is told before the screen is taken.
  if (content.kind === 'chart') standStart(content.chart, null, flags, settingsOf(whoFlag(flags.who)));
  const { openStand } = await import('./stand.js');
  return openStand({ file: resolve(file), flags, who: whoFlag(flags.who) });
}

/** The place in the set's file of the song at which a run of it was broken off; one that was asked for has none, so it is the one before. */
function resumedAt(file: string, set: SetList): number {
  const broken = recallRun(file);
  if (!broken)
    throw new Stop(
      exit.call,
      `there is no interrupted run of ${safeText(set.title)}`,
      'without --resume it begins with the first song',
    );
  const entries = broken.songs.slice(0, broken.at + 1).flatMap(({ entry }) => entry ?? []);
  return Math.min(entries.at(-1) ?? 0, set.entries.length - 1);
}

function pause(seconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, seconds * 1000));
}
