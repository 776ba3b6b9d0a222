import { Command } from '@commander-js/extra-typings';
import { examples, outputWords, several } from './declare.js';
import { exit, Stop } from './exit.js';
import { withListening } from './shared-options.js';

/** `barkline` without a command: the list of charts. */
export function barklineCommand(version: string, done: (status: number) => void) {
  return withListening(
    new Command('barkline')
      .description('Number charts for rhythm mandolin: the chart, the click, and the way the hand goes.')
      .version(version)
      .argument('[folder]', 'a folder of charts to list (default: your own charts and the demo charts)')
      .option('--out <output>', outputWords, several),
  )
    .option('--plain', 'typed commands and lines instead of the full screen: barkline help plain')
    .option('--no-unicode', 'draw with ASCII characters only')
    .addHelpText(
      'after',
      examples(
        'barkline                                    the list of charts',
        'barkline play CHART --key Bb --tempo 75%    one chart, in B flat, at 75% of its tempo',
        'barkline play CHART --out midi:1            to the first MIDI destination',
        'barkline show CHART --key D                 the chart as text',
        'barkline check *.yaml                       all mistakes, each with its place',
        'barkline help                               pages about everything',
      ),
    )
    .action(async (folder, flags) => {
      const { loadScreen, screenLack } = await import('./screen.js');
      const lack = screenLack();
      if (flags.plain || (lack !== null && process.stdin.isTTY && process.stdout.isTTY)) {
        const { listPlainly } = await import('./list-plain.js');
        done(await listPlainly(folder, flags));
        return;
      }
      if (lack !== null)
        throw new Stop(
          exit.call,
          `the list of charts needs a terminal with a full screen; ${lack}`,
          'barkline --plain opens it with typed commands; barkline play FILE --plain plays a chart',
        );
      loadScreen();
      const { openStand } = await import('./stand.js');
      done(await openStand({ ...(folder === undefined ? {} : { folder }), flags }));
    });
}
