import { resolve } from 'node:path';
import { safeText } from '../base/safe-text.js';
import { remember } from '../config/remembered.js';
import { exit, Stop } from './exit.js';
import { loadChart, loadGood, songPath } from './load.js';
import type { PlayFlags } from './play-options.js';
import { settingsOf, whoFlag } from './shed-common.js';
import { standStart } from './stand-start.js';

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
    if (content.kind === 'chart')
      return (await import('./plain-chart.js')).plainChart(content.chart, null, flags);
    for (const [index, entry] of content.set.entries.entries()) {
      // Where nobody can be waited for, a gap that waits is none.
      if (index > 0) await pause((entry.gap === 'wait' ? 0 : (entry.gap ?? 0)) + 60 * entry.breakBefore);
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
      'it takes up a run that was broken off: barkline play SET --resume',
    );
  // What the call has wrong is told before the screen is taken.
  if (content.kind === 'chart') standStart(content.chart, null, flags, settingsOf(whoFlag(flags.who)));
  const { openStand } = await import('./stand.js');
  return openStand({ file: resolve(file), flags, who: whoFlag(flags.who) });
}

function pause(seconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, seconds * 1000));
}
