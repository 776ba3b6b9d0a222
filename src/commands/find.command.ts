import { Command } from '@commander-js/extra-typings';
import { songOrders } from '../chart/find/sort-songs.js';
import { choice, type Declared, examples } from './declare.js';

/** `find`: charts by title, tag, key, tempo and numbers. */
export const declared: Declared = (done) =>
  new Command('find')
    .description('find charts by title, tag, key, tempo, and numbers in a row; without words, list all')
    .argument(
      '[words...]',
      'each narrows the search: part of a title, an author, a tag or a file’s name; a key (A, F#m); a tempo (180-220, 200+); numbers that follow each other in a section (1 4 1 5)',
    )
    .option('--in <folder>', 'the folder, including its subfolders (default: your own and the demo charts)')
    .addOption(
      choice(
        '--sort <order>',
        'title; key: from A upward; tempo: the slowest first; played: the last played first; weakest: the most often missed lately, by your diary',
        'order',
        songOrders,
      ).default('title' as const),
    )
    .option('--who <name>', 'whose diary says what is weakest')
    .option('--files', 'print only the files, one on each line')
    .option('--json', 'print one JSON document')
    .addHelpText(
      'after',
      examples(
        'barkline find 1 4 1 5 A                     songs in A that have 1 4 1 5 in a row',
        'barkline find waltz 90-120',
        'barkline find --sort weakest',
        'barkline find b7 --in FOLDER --files',
      ),
    )
    .action(async (words, flags) => {
      const { find } = await import('./find.js');
      done(find(words, flags));
    });
