import { Command } from '@commander-js/extra-typings';
import { blanks, papers } from '../exchange/format.js';
import { choice, type Declared, examples } from './declare.js';

/** `shed path`: the way from the first chop to songs from calls, and where one stands on it. */
export const shedPathCommand: Declared = (done) =>
  new Command('path')
    .description('the way from the first chop to songs from calls, and where you stand on it')
    .option('--who <name>', 'whose path')
    .option(
      '--start <step>',
      'begin here: all before it is known; “end”: all of it is, “first”: from the beginning',
    )
    .option('--done <step>', 'this step is done')
    .option('--again <step>', 'this step is to be played again')
    .option('--json', 'print one JSON document')
    .addOption(
      choice('--to <format>', 'a sheet for each step: pdf or text', 'format of a sheet', ['pdf', 'text']),
    )
    .option('-o, --output <path>', 'the file of the sheets; - is stdout')
    .addOption(choice('--paper <size>', 'pdf: the size of the paper; a4 without it', 'paper', papers))
    .option('--large', 'pdf: large print')
    .addOption(
      choice(
        '--blank <what>',
        'what is left blank to fill in; the answers come last',
        'part that can be left blank',
        blanks,
      ),
    )
    .option('--marks', 'lines to mark by hand how it went, below each step')
    .option('--force', 'write over a file that is there')
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
