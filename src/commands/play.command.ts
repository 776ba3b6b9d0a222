import { Command, Option } from '@commander-js/extra-typings';
import { partOption, portOption } from './band-options.js';
import { type Declared, examples, whole } from './declare.js';
import { exit, Stop } from './exit.js';
import { asPlayed, onStand, orBars } from './shared-options.js';

/** The options that only a leader can use: taken with --lead, and explained by the help of `lead`. */
const leadersOwn = ['word', 'port', 'broker', 'ca', 'name', 'part', 'capo', 'class', 'wait'] as const;

/** `play`: a chart or a set, on the stand or plainly. */
export const declared: Declared = (done) =>
  onStand(
    orBars(
      asPlayed(
        new Command('play')
          .description('play a chart or a set, or bars that you type')
          .argument('[file]', 'a chart or set file'),
      ),
    )
      .option('--follow <source>', 'follow an external MIDI clock: midi:NAME-OR-NUMBER, raw:PATH')
      .option('--lead', 'lead a band, with the options of barkline lead')
      .option('--resume', 'continue an interrupted run of this set at the song it had reached'),
  )
    .addOption(new Option('--word <word>').hideHelp())
    .addOption(portOption().hideHelp())
    .addOption(new Option('--broker <url>').hideHelp())
    .addOption(new Option('--ca <file>').hideHelp())
    .addOption(new Option('--name <name>').hideHelp())
    .addOption(partOption().hideHelp())
    .addOption(new Option('--capo <fret>').hideHelp())
    .addOption(new Option('--class').hideHelp())
    .addOption(
      whole('--wait <stands>', 'with --plain: begin when this many have joined', [0, 500]).hideHelp(),
    )
    .addHelpText(
      'after',
      examples(
        'barkline play CHART --key Bb --tempo 75%',
        "barkline play --bars '1 1 4 1 / 1 5 1 1' --key A --tempo 200",
        'barkline play CHART --plain --passes 2 --out none',
        'barkline play CHART --tempo 70% --to-tempo 100% --over 64',
        'barkline play CHART --bass walk',
        'barkline play CHART --voices click:60,bass,chop --gaps 3-1',
        'barkline play CHART --for Ansa --melody all --out midi:1',
        'barkline play CHART --out sound --out midi:1 --send-clock',
        'barkline play CHART --listen',
        'barkline play SET --resume',
        'barkline play SET --lead --name Ansa',
      ),
    )
    .action(async (file, flags) => {
      const { loadScreen, screenLack } = await import('./screen.js');
      if (!flags.plain && screenLack() === null) loadScreen();
      if (flags.lead) {
        done(await (await import('./lead.js')).leadBand(file, flags));
        return;
      }
      const stray = leadersOwn.find((name) => flags[name] !== undefined);
      if (stray)
        throw new Stop(
          exit.call,
          `--${stray} is for a band`,
          `lead one: barkline play FILE --lead --${stray} …`,
        );
      const { play } = await import('./play.js');
      done(await play(file, flags));
    });
