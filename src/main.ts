#!/usr/bin/env node
import { readFileSync } from 'node:fs';
import { Command, CommanderError } from 'commander';
import { exit, Stop, say } from './commands/exit.js';
import type { PlayFlags } from './commands/play-options.js';

/*
 * argv → a command. The only place that ends the process. Commands are imported when they are called, so
 * that those which only print do not wait for the screen's libraries.
 */

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

let status: number = exit.done;

const program = new Command('barkline')
  .description('Number charts for rhythm mandolin: the chart, the click, and the way the hand goes.')
  .version(version)
  .argument('[folder]', 'charts to list; without it your own and the demo charts')
  .option('--out <output>', 'midi:NAME-OR-NUMBER, virtual[:NAME], raw:PATH, sound or none')
  .option('--no-unicode', 'draw with plain characters')
  .enablePositionalOptions()
  .exitOverride()
  .showSuggestionAfterError()
  .addHelpText(
    'after',
    `
Examples:
  barkline                                    the list of charts
  barkline play CHART --key Bb --tempo 75%    one chart, in B flat, at three quarters of its tempo
  barkline play CHART --out midi:1            to the first MIDI destination
  barkline show CHART --key D                 the chart as text
  barkline check *.yaml                       every fault with its place`,
  )
  .action(async (folder: string | undefined, flags: PlayFlags) => {
    if (!process.stdout.isTTY || !process.stdin.isTTY)
      throw new Stop(
        exit.call,
        'the list of charts needs a terminal',
        'barkline play FILE --plain plays one without',
      );
    const { openStand } = await import('./commands/stand.js');
    const { outputsToTry } = await import('./commands/outputs.js');
    status = await openStand({
      ...(folder === undefined ? {} : { folder }),
      flags,
      outs: outputsToTry(flags.out),
    });
  });

program
  .command('play')
  .description('play a chart or a set')
  .argument('<file>', 'a chart or set file')
  .option('--key <key>', 'the key: A, Bb, F#m')
  .option('--tempo <tempo>', 'as the chart counts it, or a share of its own: 140, 75%')
  .option('--from <bar>', 'start at this bar')
  .option('--loop <bars>', 'play these bars over and over: 5-8')
  .option('--passes <number>', 'how often; without end on the stand, once when plain')
  .option('--count-in <bars>', 'bars of count-in, 0 to 2', '1')
  .option('--out <output>', 'midi:NAME-OR-NUMBER, virtual[:NAME], raw:PATH, sound or none')
  .option('--plain', 'a line a bar instead of the full screen')
  .option('--no-unicode', 'draw with plain characters')
  .addHelpText(
    'after',
    '\nExamples:\n  barkline play CHART --key Bb --tempo 75%\n  barkline play CHART --plain --passes 2 --out none',
  )
  .action(async (file: string, flags: PlayFlags) => {
    const { play } = await import('./commands/play.js');
    status = await play(file, flags);
  });

program
  .command('check')
  .description('tell every fault of charts and sets')
  .argument('<files...>', 'chart or set files')
  .option('--json', 'one JSON document')
  .addHelpText('after', '\nExample:\n  barkline check charts/*.yaml')
  .action(async (files: string[], flags: { json?: boolean }) => {
    const { check } = await import('./commands/check.js');
    status = check(files, flags);
  });

program
  .command('show')
  .description('print a chart in a key')
  .argument('<file>', 'a chart file')
  .option('--key <key>', 'the key: A, Bb, F#m')
  .option('--json', 'one JSON document: the unrolled pass')
  .addHelpText('after', '\nExample:\n  barkline show CHART --key Eb')
  .action(async (file: string, flags: { key?: string; json?: boolean }) => {
    const [{ loadChart }, { show }, { readFlags }] = await Promise.all([
      import('./commands/load.js'),
      import('./commands/show.js'),
      import('./commands/play.js'),
    ]);
    const chart = loadChart(file);
    status = show(
      chart,
      readFlags(chart, null, flags.key === undefined ? {} : { key: flags.key }).key,
      flags,
    );
  });

program
  .command('ports')
  .description('list MIDI destinations and what can be heard now')
  .option('--json', 'one JSON document')
  .action(async (flags: { json?: boolean }) => {
    const { ports } = await import('./commands/ports.js');
    status = await ports(flags);
  });

/** A reader that goes away (`| head`) ends the output, and is no fault. */
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(exit.done);
});

try {
  await program.parseAsync();
} catch (error) {
  if (error instanceof CommanderError) status = error.exitCode === 0 ? exit.done : exit.call;
  else if (error instanceof Stop) {
    say(`barkline: ${error.what}`);
    if (error.instead !== '') say(error.instead);
    status = error.status;
  } else {
    say(`barkline failed: ${error instanceof Error ? error.message : String(error)}`);
    say('please report it, with what you did before');
    status = 70;
  }
}
// Ends with the results written: a pipe may still be taking them.
process.exitCode = status;
if (process.stdout.writableLength === 0) process.exit(status);
process.stdout.once('drain', () => process.exit(status));
