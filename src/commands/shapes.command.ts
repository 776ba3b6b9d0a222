import { Command } from '@commander-js/extra-typings';
import { type Declared, examples } from './declare.js';

/** `shapes`: the shapes of chords. */
export const declared: Declared = (done) =>
  new Command('shapes')
    .description('the closed shapes of chords, with fingers: I index, M middle, R ring, L little')
    .argument('<chords...>', 'chords in letters: A F#m Bb7')
    .option(
      '--instrument <name>',
      'mandolin, mandola, octave-mandolin, mandocello, tenor-banjo, ukulele …, or a file',
    )
    .option('--all', 'every voicing there is, the least effort first')
    .option('--open', 'with open courses too')
    .option('--rootless', 'without the root too')
    .option('--hand <name>', 'usual, small or large, or a file')
    .option('--explain', 'the parts of each effort')
    .option('--no-unicode', 'plain characters')
    .option('--json', 'one JSON document, with every other way to finger each shape')
    .addHelpText(
      'after',
      examples('barkline shapes G C D7', 'barkline shapes Bm7b5 --instrument mandola --all'),
    )
    .action(async (chords, flags) => {
      const { shapes } = await import('./shapes.js');
      done(shapes(chords, flags));
    });
