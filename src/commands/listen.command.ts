import { Command } from '@commander-js/extra-typings';
import { limitLines, toldInterval } from '../listen/say-limits.js';
import { choice, type Declared, examples, outputWords } from './declare.js';
import { exit, Stop } from './exit.js';

/** `listen`: judges a recording, or measures how long sound takes out and in. */
export const declared: Declared = (done) =>
  new Command('listen')
    .description(
      'judge a recording of a chart: the time of each stroke, whether the chord was right, how long chops rang',
    )
    .argument('[file]', 'a WAV file')
    .option('--chart <chart>', 'the chart that was played; the recording begins with it, or is counted in')
    .option('--key <key>', 'the key it was played in: A, Bb, F#m')
    .option(
      '--tempo <bpm>',
      'the tempo of the click you played to, or 75% (default: found from the recording)',
    )
    .option('--pattern <name>', 'the right-hand pattern you played: a name or a file')
    .option('--instrument <name>', 'an instrument by name, or a file')
    .addOption(
      choice('--level <level>', 'how strictly to judge: learning, steady, job', 'level', [
        'learning',
        'steady',
        'job',
      ]).default('steady'),
    )
    .option('--json', 'print one JSON document')
    .option(
      '--calibrate',
      'measure and save how long sound takes from the output to the microphone, with clicks',
    )
    .option('--headphones', 'with --calibrate: chop along with sixteen clicks that only you hear')
    .option(
      '--microphone <name>',
      'with --calibrate: the microphone: its name, part of it, or its number in barkline ports',
    )
    .option('--out <output>', `with --calibrate: ${outputWords}`)
    .addHelpText(
      'after',
      '\nWithout --tempo, strokes are early or late against the player’s own beat, and a change of tempo is reported separately.',
    )
    .addHelpText(
      'after',
      [
        '',
        `Limits of a clean pass, when strokes are ${toldInterval} ms apart:`,
        ...limitLines().map((line) => `  ${line}`),
        'When strokes are farther apart, the limits for lateness, spread and late changes are wider.',
      ].join('\n'),
    )
    .addHelpText(
      'after',
      examples(
        'barkline listen take.wav --chart CHART',
        'barkline listen take.wav --chart CHART --key B --tempo 160 --json',
        'barkline listen --calibrate',
        'barkline listen --calibrate --headphones --microphone 2',
      ),
    )
    .action(async (file, flags) => {
      if (flags.calibrate) {
        if (file !== undefined)
          throw new Stop(
            exit.call,
            '--calibrate listens to a microphone, not to a file',
            'leave out the file',
          );
        const { calibrate } = await import('./listen-calibrate.js');
        done(await calibrate(flags));
        return;
      }
      const { listenFile } = await import('./listen-file.js');
      done(listenFile(file, flags));
    });
