import { resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { remember } from '../config/remembered.js';
import { recallRun } from '../config/run-file.js';
import type { DocumentContent } from '../setlist/document.js';
import type { SetList } from '../setlist/set.js';
import { brokenOff } from './broken-off.js';
import { exit, Stop, say } from './exit.js';
import { refuseListening } from './listening-flags.js';
import { loadChart, loadGood, songPath } from './load.js';
import { barsOpened, givesBars, loadBars } from './load-bars.js';
import type { PlayFlags } from './play-options.js';
import { screenLack } from './screen.js';
import { settingsOf } from './settings.js';
import { whoFlag } from './shed-common.js';
import { standStart } from './stand-start.js';
import { canBeTyped } from './typed-input.js';

/** Plays a chart or a set: on the stand, or plainly when asked to or when stdout is not a terminal. */
export async function play(file: string | undefined, flags: PlayFlags): Promise<number> {
  if (givesBars(file, flags, 'play') || file === undefined) return playBars(flags);
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
    if (!flags.plain && process.stdout.isTTY && process.stdin.isTTY)
      say(`${lack}; one line is printed for each bar instead`);
    if (await canBeTyped()) return playTyped(file, content, flags);
    refuseListening(flags, 'there is nothing that commands could be typed on');
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

/** Plays bars that stand in no file, over and over unless passes are counted. */
async function playBars(flags: PlayFlags): Promise<number> {
  if (flags.resume)
    throw new Stop(exit.call, '--resume is for a set', 'leave it out, or name a set in place of --bars');
  const bars = loadBars(flags);
  const lack = screenLack();
  const who = whoFlag(flags.who);
  const plainly = flags.plain || lack !== null;
  if (plainly) {
    if (!flags.plain && process.stdout.isTTY && process.stdin.isTTY)
      say(`${lack}; one line is printed for each bar instead`);
    if (!(await canBeTyped())) {
      refuseListening(flags, 'there is nothing that commands could be typed on');
      return (await import('./plain-chart.js')).plainBars(bars.chart, flags);
    }
  }
  standStart(bars.chart, null, flags, settingsOf(who));
  const { openStand } = await import('./stand.js');
  return openStand({
    flags,
    who,
    first: ({ settings }) => barsOpened(bars, flags, settings),
    ...(plainly ? { plain: { begins: true } } : {}),
  });
}

/** Plays with typed commands: a chart once, unless it is told otherwise, and a set as it is run on the stand. */
async function playTyped(
  file: string,
  content: Extract<DocumentContent, { kind: 'chart' | 'set' }>,
  flags: PlayFlags,
): Promise<number> {
  const own = content.kind === 'chart' ? { ...flags, passes: flags.passes ?? 1 } : flags;
  if (content.kind === 'chart') standStart(content.chart, null, own, settingsOf(whoFlag(flags.who)));
  if (flags.resume && content.kind === 'set') resumedAt(file, content.set);
  const { openStand } = await import('./stand.js');
  return openStand({ file: resolve(file), flags: own, who: whoFlag(flags.who), plain: { begins: true } });
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
