import { Command } from '@commander-js/extra-typings';
import { type Declared, examples } from './declare.js';

/** `shapes`: the shapes of chords. */
export const declared: Declared = (done) =>
  new Command('shapes')
    .description('show the closed shapes of chords, with fingers: I index, M middle, R ring, L little')
    .argument('<chords...>', 'chords in letters: A F#m Bb7')
    .option(
      '--instrument <name>',
      'mandolin, mandola, octave-mandolin, mandocello, tenor-banjo, ukulele …, or a file',
    )
    .option('--all', 'all voicings, the easiest first')
    .option('--open', 'also with open courses')
    .option('--rootless', 'also without the root')
    .option('--hand <name>', 'usual, small or large, or a file')
    .option('--explain', 'show what makes up each effort')
    .option('--no-unicode', 'draw with ASCII characters only')
    .option('--json', 'print one JSON document, with all other fingerings of each shape')
    .addHelpText(
      'after',
      examples('barkline shapes G C D7', 'barkline shapes Bm7b5 --instrument mandola --all'),
    )
    .action(async (chords, flags) => {
      const { shapes } = await import('./shapes.js');
      done(shapes(chords, flags));
    });
