import { Command } from '@commander-js/extra-typings';
import { type Declared, examples, outputWords, several, whole } from './declare.js';
import { clickOption } from './shared-options.js';

/** `click`: a click without a song. */
export const declared: Declared = (done) =>
  new Command('click')
    .description('a click without a song; it begins at once')
    .argument('[tempo]', 'felt beats a minute, 20 to 400 (default: 100)')
    .option('--meter <meter>', 'the meter: 3/4, 6/8, cut … (default: 4/4)')
    .addOption(clickOption())
    .option('--gaps <bars>', 'alternate bars with and without a click: 3-1')
    .option('--no-accents', 'no accent on the first beat')
    .option('--voices <list>', 'how loud the click is, in percent: click:60')
    .addOption(whole('--count-in <bars>', 'bars of count-in, 0 to 2 (default: 0)', [0, 2]))
    .addOption(whole('--bars <number>', 'stop after this many bars', [1, 1000]))
    .option('--out <output>', `${outputWords}; repeat it for several outputs`, several)
    .option('--send-clock', 'send MIDI clock, start, stop and song position to every MIDI output')
    .option('--follow <source>', 'follow an external MIDI clock: midi:NAME-OR-NUMBER, raw:PATH')
    .option('--pedal <source>', 'listen for pedals only on this MIDI source: midi:NAME-OR-NUMBER, raw:PATH')
    .option('--stats', 'report at the end how late the clock was')
    .option('--plain', 'typed commands and lines instead of the full screen: barkline help plain')
    .option('--no-unicode', 'draw with ASCII characters only')
    .addHelpText('after', '\nStart with the volume low: a click is sharp, and ears do not heal.')
    .addHelpText(
      'after',
      examples(
        'barkline click 200 --meter 3/4',
        'barkline click 96 --click backbeat',
        'barkline click 120 --gaps 3-1 --bars 64 --plain',
      ),
    )
    .action(async (tempo, flags) => {
      const { loadScreen, screenLack } = await import('./screen.js');
      if (!flags.plain && screenLack() === null) loadScreen();
      const { click } = await import('./click.js');
      done(await click(tempo, flags));
    });
