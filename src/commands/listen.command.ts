import { Command } from '@commander-js/extra-typings';
import { limitLines, toldInterval } from '../listen/say-limits.js';
import { choice, type Declared, examples, outputWords } from './declare.js';
import { exit, Stop } from './exit.js';

/** `listen`: judges a recording, or measures how long sound takes out and in. */
export const declared: Declared = (done) =>
  new Command('listen')
    .description(
      'judge a recording of a chart: when each stroke fell, whether it was the chord, how long chops rang',
    )
    .argument('[file]', 'a WAV file')
    .option('--chart <chart>', 'the chart that was played; the recording begins with it, or is counted in')
    .option('--key <key>', 'the key it was played in: A, Bb, F#m')
    .option('--tempo <bpm>', 'the tempo of the click it was played to, or 75%; without it the tempo is found')
    .option('--pattern <name>', 'what the right hand played, by name, or a file')
    .option('--instrument <name>', 'an instrument by name, or a file')
    .addOption(
      choice('--level <level>', 'how strictly it is judged: learning, steady, job', 'level', [
        'learning',
        'steady',
        'job',
      ]).default('steady'),
    )
    .option('--json', 'one JSON document')
    .option(
      '--calibrate',
      'plays clicks, hears them, and keeps how long sound takes from the output to the microphone',
    )
    .option('--headphones', 'with --calibrate: chop along with sixteen clicks that only you hear')
    .option(
      '--microphone <name>',
      'with --calibrate: a microphone by name, part of it or number, as barkline ports lists them',
    )
    .option('--out <output>', `with --calibrate: ${outputWords}`)
    .addHelpText(
      'after',
      '\nWithout --tempo the beat is the player’s own: strokes are early or late against it, and a change of tempo is told apart.',
    )
    .addHelpText(
      'after',
      [
        '',
        `What a clean pass stays within, where strokes come ${toldInterval} ms apart:`,
        ...limitLines().map((line) => `  ${line}`),
        'Times behind the beat, spreads and late changes may be greater where strokes come farther apart.',
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
            'leave the file out',
          );
        const { calibrate } = await import('./listen-calibrate.js');
        done(await calibrate(flags));
        return;
      }
      const { listenFile } = await import('./listen-file.js');
      done(listenFile(file, flags));
    });
