import { Command, Option } from '@commander-js/extra-typings';
import { bassWords } from '../chart/level.js';
import { clickKinds } from '../time/click-kinds.js';
import { partOption, portOption } from './band-options.js';
import {
  choice,
  type Declared,
  examples,
  listenWords,
  melodyOption,
  outputWords,
  several,
  whole,
} from './declare.js';
import { exit, Stop } from './exit.js';

/** What only a leader can be told: taken with --lead, and explained by the help of `lead`. */
const leadersOwn = ['word', 'port', 'broker', 'ca', 'name', 'part', 'capo', 'class', 'wait'] as const;

/** `play`: a chart or a set, on the stand or plainly. */
export const declared: Declared = (done) =>
  new Command('play')
    .description('play a chart or a set')
    .argument('<file>', 'a chart or set file')
    .option('--key <key>', 'the key: A, Bb, F#m')
    .option(
      '--for <singer>',
      'in the key that the chart has for this singer; the tune in the octave of the voice',
    )
    .option('--tempo <tempo>', 'as the chart counts it, or a share of its own: 140, 75%')
    .option('--from <bar>', 'start at this bar')
    .option('--loop <bars>', 'play these bars over and over: 5-8')
    .addOption(whole('--passes <number>', 'how often; without end on the stand, once when plain', [1, 1000]))
    .addOption(
      whole('--count-in <bars>', 'bars of count-in, 0 to 2; 1 unless the set or you said otherwise', [0, 2]),
    )
    .option('--to-tempo <tempo>', 'a tempo to go to, bar by bar: 200, 120%')
    .addOption(whole('--over <bars>', 'in how many bars it is reached; a pass when absent', [1, 10_000]))
    .option('--out <output>', `${outputWords}; write it again for several at once`, several)
    .option('--pattern <name>', 'the right hand: low-chop, waltz, ring … or a file')
    .addOption(
      choice(
        '--bass <line>',
        'walk: the bass runs into 4, 5 and back to 1; plain: it does not',
        'way of the bass',
        bassWords,
      ),
    )
    .addOption(
      choice(
        '--click <kind>',
        'which beats click',
        'click',
        clickKinds.map(({ kind }) => kind),
      ),
    )
    .option('--gaps <bars>', 'bars with and without a click by turns: 3-1')
    .option('--no-accents', 'no accent on the first beat')
    .option('--voices <list>', 'what sounds: click,bass, or all; with levels in percent: click:60,bass')
    .addOption(melodyOption())
    .option('--send-clock', 'MIDI clock, start, stop and song position to every MIDI output')
    .option('--follow <source>', 'an outside MIDI clock leads: midi:NAME-OR-NUMBER, raw:PATH')
    .option('--lead', 'lead a band with it, as barkline lead does and with what it can be told')
    .option('--resume', 'take up a run of this set that was broken off, at the song it had come to')
    .option('--listen', listenWords.listen)
    .option('--no-listen', listenWords.noListen)
    .option('--microphone <name>', listenWords.microphone)
    .option('--keep <file>', listenWords.keep)
    .option('--pedal <source>', 'listen for pedals only there: midi:NAME-OR-NUMBER, raw:PATH')
    .option('--stats', 'tell at the end how late the clock was')
    .option('--who <name>', 'whose diary, hand and settings')
    .option('--plain', 'a line a bar instead of the full screen')
    .option('--no-unicode', 'draw with plain characters')
    .addOption(new Option('--word <word>').hideHelp())
    .addOption(portOption().hideHelp())
    .addOption(new Option('--broker <url>').hideHelp())
    .addOption(new Option('--ca <file>').hideHelp())
    .addOption(new Option('--name <name>').hideHelp())
    .addOption(partOption().hideHelp())
    .addOption(new Option('--capo <fret>').hideHelp())
    .addOption(new Option('--class').hideHelp())
    .addOption(whole('--wait <stands>', 'when plain: begin when so many have joined', [0, 500]).hideHelp())
    .addHelpText(
      'after',
      examples(
        'barkline play CHART --key Bb --tempo 75%',
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
