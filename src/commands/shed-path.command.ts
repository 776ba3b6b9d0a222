import { Command } from '@commander-js/extra-typings';
import { blanks, papers } from '../exchange/format.js';
import { choice, type Declared, examples } from './declare.js';

/** `shed path`: the way from the first chop to songs from calls, and how far the player is. */
export const shedPathCommand: Declared = (done) =>
  new Command('path')
    .description(
      'the path for beginners, from the first chop to playing songs as they are called, and how far you are',
    )
    .option('--who <name>', 'whose path')
    .option(
      '--start <step>',
      'begin here, with everything before it done; “end”: everything is done; “first”: from the beginning',
    )
    .option('--done <step>', 'mark this step as done')
    .option('--again <step>', 'mark this step as not done')
    .option('--json', 'print one JSON document')
    .addOption(
      choice('--to <format>', 'write a sheet for each step: pdf or text', 'format of a sheet', [
        'pdf',
        'text',
      ]),
    )
    .option('-o, --output <path>', 'the output file; - is stdout')
    .addOption(choice('--paper <size>', 'pdf: the paper size (default: a4)', 'paper', papers))
    .option('--large', 'pdf: large print')
    .addOption(
      choice(
        '--blank <what>',
        'what to leave blank for filling in; the answers come last',
        'part that can be left blank',
        blanks,
      ),
    )
    .option('--marks', 'lines below each step for marking by hand how it went')
    .option('--force', 'overwrite an existing file')
    .addHelpText(
      'after',
      examples(
        'barkline shed path',
        'barkline shed path --start same-shapes-higher',
        'barkline shed path --to pdf --marks -o PATH.pdf',
      ),
    )
    .action(async (flags) => {
      const { shedPath } = await import('./shed-path.js');
      done(await shedPath(flags));
    });
