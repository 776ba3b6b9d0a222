import { Command } from '@commander-js/extra-typings';
import { songOrders } from '../chart/find/sort-songs.js';
import { choice, type Declared, examples } from './declare.js';

/** `find`: charts by what they have. */
export const declared: Declared = (done) =>
  new Command('find')
    .description('find charts by title, tag, key, tempo, and numbers in a row; without words, list all')
    .argument(
      '[words...]',
      'each narrows: part of a title, an author, a tag or a file’s name; a key (A, F#m); a tempo (180-220, 200+); numbers that follow each other in a section (1 4 1 5)',
    )
    .option('--in <folder>', 'the folder, with those in it; else your own and the demo charts')
    .addOption(
      choice(
        '--sort <order>',
        'title; key: from A upward; tempo: slow ones first; played: what was played last first; weakest: what was missed most of late, by the diary',
        'order',
        songOrders,
      ).default('title' as const),
    )
    .option('--who <name>', 'whose diary says what is weakest')
    .option('--files', 'only the files, a line each')
    .option('--json', 'one JSON document')
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
