import type { Command, OptionValues } from '@commander-js/extra-typings';
import { bassWords } from '../chart/level.js';
import { clickKinds } from '../time/click-kinds.js';
import { choice, listenWords, melodyOption, outputWords, several, whole } from './declare.js';

/*
 * Options that several commands have, each declared once. They are added after what a command has of its own, and help lists them
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
    command
      .option('--who <name>', 'whose diary')
      .option('--out <output>', 'where to play the sound', several),
  ).option('--no-unicode', 'draw with ASCII characters only');
}

/** Of what can be practised without a screen. */
export function withPlain<Args extends unknown[], Flags extends OptionValues>(command: Command<Args, Flags>) {
  return command.option(
    '--plain',
    'typed commands and lines instead of the full screen: barkline help plain',
  );
}

/** Of a chart or set that is played by this program alone or leads others: in which key, how fast, which bars, and what sounds. */
export function asPlayed<Args extends unknown[], Flags extends OptionValues>(command: Command<Args, Flags>) {
  return command
    .option('--key <key>', 'the key: A, Bb, F#m')
    .option('--for <singer>', 'the chart’s key for this singer; the tune in the octave of the voice')
    .option('--tempo <tempo>', 'counted as in the chart, or a percentage of its tempo: 140, 75%')
    .option('--from <bar>', 'start at this bar')
    .option('--loop <bars>', 'play these bars over and over: 5-8')
    .addOption(
      whole(
        '--passes <number>',
        'the number of passes (default: endless on the full screen, 1 with --plain)',
        [1, 1000],
      ),
    )
    .addOption(
      whole(
        '--count-in <bars>',
        'bars of count-in, 0 to 2 (default: 1, unless the set or your last choice says otherwise)',
        [0, 2],
      ),
    )
    .option('--to-tempo <tempo>', 'a tempo to reach, bar by bar: 200, 120%')
    .addOption(whole('--over <bars>', 'the number of bars to reach it (default: one pass)', [1, 10_000]))
    .option('--out <output>', `${outputWords}; repeat it for several outputs`, several)
    .option('--pattern <name>', 'the right-hand pattern: low-chop, waltz, ring … or a file')
    .addOption(
      choice(
        '--bass <line>',
        'walk: the bass runs into 4, 5 and back to 1; plain: it does not',
        'way of the bass',
        bassWords,
      ),
    )
    .addOption(clickOption())
    .option('--gaps <bars>', 'alternate bars with and without a click: 3-1')
    .option('--no-accents', 'no accent on the first beat')
    .option(
      '--voices <list>',
      'the voices that play: click,bass, or all; with levels in percent: click:60,bass',
    )
    .addOption(melodyOption())
    .option('--send-clock', 'send MIDI clock, start, stop and song position to every MIDI output');
}

/** Bars in place of a file. */
export function orBars<Args extends unknown[], Flags extends OptionValues>(command: Command<Args, Flags>) {
  return command
    .option('--bars <bars>', "bars in place of a file: '1 1 4 1 / 1 5 1 1'; in A unless --key says otherwise")
    .option('--meter <meter>', 'with --bars: the meter, 3/4, 6/8 … (default: 4/4)');
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
    .option('--pedal <source>', 'listen for pedals only on this MIDI source: midi:NAME-OR-NUMBER, raw:PATH')
    .option('--stats', 'report at the end how late the clock was')
    .option('--who <name>', 'use the diary, hand and settings of this person')
    .option('--plain', 'print one line for each bar instead of the full screen')
    .option('--no-unicode', 'draw with ASCII characters only');
}
