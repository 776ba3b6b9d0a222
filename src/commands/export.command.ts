import { Command } from '@commander-js/extra-typings';
import { blanks, papers } from '../exchange/format.js';
import { writtenFormats } from '../exchange/formats.js';
import { choice, type Declared, examples, whole } from './declare.js';
import { orBars } from './shared-options.js';

/** `export`: charts and sets in other formats. */
export const declared: Declared = (done) =>
  orBars(
    new Command('export')
      .description('write a chart or a set in another format')
      .argument('[file]', 'a chart or set file'),
  )
    .addOption(
      choice(
        '--to <format>',
        'the format',
        'format',
        writtenFormats.map(({ name }) => name),
      ),
    )
    .option('-o, --output <path>', 'the output file, or a folder for several files; - is stdout')
    .option('--key <key>', 'the key: A, Bb, F#m')
    .option(
      '--keys <keys>',
      'several keys: A,Bb,D; on paper one after the other, otherwise one file for each key',
    )
    .option('--tempo <tempo>', 'counted as in the chart, or a percentage of its tempo: 140, 75%')
    .addOption(
      whole('--passes <number>', 'midi: the number of passes (default: 1, or as the set says)', [1, 1000]),
    )
    .addOption(whole('--count-in <bars>', 'midi: bars of count-in, 0 to 2', [0, 2]))
    .option('--voices <list>', 'midi: the voices, with levels in percent (default: all): click,bass:80,chop')
    .addOption(choice('--paper <size>', 'pdf: the paper size (default: a4)', 'paper', papers))
    .option('--large', 'pdf: large print')
    .option('--left-handed', 'pdf: draw shapes for a left-handed player (default: from the settings)')
    .addOption(
      choice(
        '--blank <what>',
        'pdf, text: what to leave blank for filling in; the answers come last',
        'part that can be left blank',
        blanks,
      ),
    )
    .addOption(
      choice('--tune <how>', 'pdf, text: the tune under the numbers', 'way to print a tune', ['degrees']),
    )
    .option('--marks', 'pdf, text: lines below each song for marking by hand how it went')
    .option('--shapes', 'abc: frets below each chord; musicxml: frames with fingers')
    .option('--force', 'overwrite existing files')
    .addHelpText(
      'after',
      `\nFormats, and what each of them leaves out:\n${writtenFormats
        .map(({ name, cannotHold }) => `  ${name.padEnd(10)} ${cannotHold}`)
        .join('\n')}`,
    )
    .addHelpText(
      'after',
      examples(
        'barkline export CHART --to pdf --keys A,Bb,D --large',
        'barkline export SET --to pdf -o SET.pdf',
        'barkline export CHART --to text --blank shapes',
        'barkline export CHART --to pdf --blank chords --marks',
        'barkline export CHART --to midi --voices click,bass',
        'barkline export CHART --to abc -o - --shapes',
        'barkline export CHART --to musicxml --keys A,Bb,D -o FOLDER',
        'barkline export SET --to midi -o FOLDER',
      ),
    )
    .action(async (file, flags) => {
      const { exportFile } = await import('./export.js');
      done(await exportFile(file, flags));
    });
