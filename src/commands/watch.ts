import { statSync } from 'node:fs';
import { unroll } from '../chart/unroll.js';
import { check } from './check.js';
import { exit, print, Stop } from './exit.js';
import { load } from './load.js';
import { writePatiently } from './plain-terminal.js';
import { clearScreen } from './print.js';
import { screenLack } from './screen.js';
import { showText } from './show-text.js';

/** How often the files are looked at, ms: often enough to feel at once, and it works on every file system. */
const lookMs = 250;

/** Checks files again whenever one is saved, and shows a chart that reads well, until Ctrl-C. */
export async function watch(files: readonly string[]): Promise<number> {
  writePatiently();
  let seen = '';
  const look = (): void => {
    const now = files.map(stamp).join(' ');
    if (now === seen) return;
    seen = now;
    report(files);
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

function report(files: readonly string[]): void {
  if (screenLack() === null) clearScreen();
  for (const file of files) {
    try {
      check([file], {});
      const { content } = load(file);
      if (content?.kind === 'chart')
        print(
          '',
          ...showText(content.chart, content.chart.key, unroll(content.chart, { final: true }).bars),
          '',
        );
    } catch (error) {
      // An editor that saves by renaming leaves a moment without the file.
      if (!(error instanceof Stop)) throw error;
      print(error.what);
    }
  }
}
