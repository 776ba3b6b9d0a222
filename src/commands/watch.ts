import { statSync } from 'node:fs';
import { safeText } from '../base/safe-text.js';
import { unroll } from '../chart/unroll.js';
import { check } from './check.js';
import { exit, print, type Sink, Stop } from './exit.js';
import { load } from './load.js';
import { writePatiently } from './plain-terminal.js';
import { screenLack } from './screen.js';
import { showText } from './show.js';

/** How often the files are looked at, ms: often enough to feel at once, and it works on every file system. */
const lookMs = 250;

/** Checks files again whenever one is saved, and shows a chart that reads well, until Ctrl-C. */
export async function watch(files: readonly string[]): Promise<number> {
  const screen = writePatiently();
  let seen = '';
  const look = (): void => {
    const now = files.map(stamp).join(' ');
    if (now === seen) return;
    seen = now;
    report(files, screen);
  };
  look();
  const timer = setInterval(look, lookMs);
  await new Promise<void>((resolve) => {
    process.once('SIGINT', resolve);
    process.once('SIGTERM', resolve);
  });
  clearInterval(timer);
  return exit.done;
}

function stamp(file: string): string {
  try {
    const { mtimeMs, size, ino } = statSync(file);
    return `${mtimeMs}:${size}:${ino}`;
  } catch {
    // Not there for the moment, or not to be seen: reading it says so.
    return 'gone';
  }
}

function report(files: readonly string[], screen: Sink): void {
  if (screenLack() === null) screen.write('\u001b[2J\u001b[H');
  for (const file of files) {
    try {
      check([file], {});
      const { content } = load(file);
      if (content?.kind === 'chart')
        print(
          `\n${showText(content.chart, content.chart.key, unroll(content.chart, { final: true }).bars)}\n`,
        );
    } catch (error) {
      // An editor that saves by renaming leaves a moment without the file.
      if (!(error instanceof Stop)) throw error;
      print(safeText(error.what));
    }
  }
}
