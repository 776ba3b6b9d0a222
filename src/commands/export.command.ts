import { Command } from '@commander-js/extra-typings';
import { blanks, papers } from '../exchange/format.js';
import { writtenFormats } from '../exchange/formats.js';
import { choice, type Declared, examples, whole } from './declare.js';
import { orBars } from './shared-options.js';

/** `export`: charts and sets in other formats. */
export const declared: Declared = (done) =>
  orBars(
    new Command('export')
      .description('write a chart or a set in a format that others read')
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
    .option('-o, --output <path>', 'the file, or a folder for several; - is stdout')
    .option('--key <key>', 'the key: A, Bb, F#m')
    .option('--keys <keys>', 'several keys: A,Bb,D; on paper one behind the other, else a file each')
    .option('--tempo <tempo>', 'as the chart counts it, or a share of its own: 140, 75%')
    .addOption(whole('--passes <number>', 'midi: how often; once, or as the set says', [1, 1000]))
    .addOption(whole('--count-in <bars>', 'midi: bars of count-in, 0 to 2', [0, 2]))
    .option('--voices <list>', 'midi: what sounds, all when absent: click,bass:80,chop')
    .addOption(choice('--paper <size>', 'pdf: the size of the paper; a4 without it', 'paper', papers))
    .option('--large', 'pdf: large print')
    .option('--left-handed', 'pdf: shapes drawn for a left-handed player; without it as the settings say')
    .addOption(
      choice(
        '--blank <what>',
        'pdf, text: what is left blank to fill in; the answers come last',
        'part that can be left blank',
        blanks,
      ),
    )
    .addOption(
      choice('--tune <how>', 'pdf, text: the tune under the numbers', 'way to print a tune', ['degrees']),
    )
    .option('--marks', 'pdf, text: lines to mark by hand how it went, below each song')
    .option('--shapes', 'abc: frets below each chord; musicxml: frames with fingers')
    .option('--force', 'write over files that are there')
    .addHelpText(
      'after',
      `\nFormats, and what they cannot hold:\n${writtenFormats
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
