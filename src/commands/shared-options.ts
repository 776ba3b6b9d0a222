import type { Command, OptionValues } from '@commander-js/extra-typings';
import { bassWords } from '../chart/level.js';
import { clickKinds } from '../time/click-kinds.js';
import { choice, listenWords, melodyOption, outputWords, several, whole } from './declare.js';

/*
 * Options that several commands have, each declared once. They are added behind what a command has of its own, and help tells them
 * in the order in which they are added.
 */

/** With which whatever plays listens to the player. */
export function withListening<Args extends unknown[], Flags extends OptionValues>(
  command: Command<Args, Flags>,
) {
  return command
    .option('--listen', listenWords.listen)
    .option('--no-listen', listenWords.noListen)
    .option('--microphone <name>', listenWords.microphone)
    .option('--keep <file>', listenWords.keep);
}

/** Of a drill: whose it is, where it sounds, and how it listens and is drawn. */
export function asDrill<Args extends unknown[], Flags extends OptionValues>(command: Command<Args, Flags>) {
  return withListening(
    command.option('--who <name>', 'whose diary').option('--out <output>', 'where it sounds', several),
  ).option('--no-unicode', 'draw with plain characters');
}

/** Of a chart or set that is played by this program alone or leads others: in which key, how fast, which bars, and what sounds. */
export function asPlayed<Args extends unknown[], Flags extends OptionValues>(command: Command<Args, Flags>) {
  return command
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
    .addOption(clickOption())
    .option('--gaps <bars>', 'bars with and without a click by turns: 3-1')
    .option('--no-accents', 'no accent on the first beat')
    .option('--voices <list>', 'what sounds: click,bass, or all; with levels in percent: click:60,bass')
    .addOption(melodyOption())
    .option('--send-clock', 'MIDI clock, start, stop and song position to every MIDI output');
}

/** Bars in place of a file. */
export function orBars<Args extends unknown[], Flags extends OptionValues>(command: Command<Args, Flags>) {
  return command
    .option('--bars <bars>', "bars in place of a file: '1 1 4 1 / 1 5 1 1'; in A unless --key says otherwise")
    .option('--meter <meter>', 'with --bars: 3/4, 6/8 … 4/4 when absent');
}

/** `--click` of what plays. */
export function clickOption() {
  return choice(
    '--click <kind>',
    'which beats click',
    'click',
    clickKinds.map(({ kind }) => kind),
  );
}

/** Of whatever plays on the stand or plainly: how it listens, obeys pedals, whose it is, and how it is drawn. */
export function onStand<Args extends unknown[], Flags extends OptionValues>(command: Command<Args, Flags>) {
  return withListening(command)
    .option('--pedal <source>', 'listen for pedals only there: midi:NAME-OR-NUMBER, raw:PATH')
    .option('--stats', 'tell at the end how late the clock was')
    .option('--who <name>', 'whose diary, hand and settings')
    .option('--plain', 'a line a bar instead of the full screen')
    .option('--no-unicode', 'draw with plain characters');
}
