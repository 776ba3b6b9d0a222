import { Command } from '@commander-js/extra-typings';
import { choice, type Declared, examples, whole } from './declare.js';
import { orBars } from './shared-options.js';

/** `plan`: the way of the hand through a chart. */
export const declared: Declared = (done) =>
  orBars(
    new Command('plan')
      .description(
        'plan the left hand for a chart: each chord with its shape, fingers and motion, and the hardest changes',
      )
      .argument('[file]', 'a chart file'),
  )
    .option('--key <key>', 'the key: A, Bb, F#m')
    .option('--instrument <name>', 'an instrument by name, or a file')
    .option('--hand <name>', 'usual, small or large, or a file')
    .option('--without <fingers>', 'fingers not to use: little, or ring,little')
    .addOption(whole('--reach <mm>', 'the widest stretch, mm along the neck', [20, 200]))
    .option('--frets <range>', 'stay within these frets: 1-9')
    .option('--home <where>', 'where on the neck to play: low (default), high, or frets: 5-9')
    .option('--start <frets>', 'begin with this shape: 9-7-4-5')
    .addOption(
      choice('--hold <how>', 'steady: one shape for each chord of the song; free: any', 'way to hold', [
        'steady',
        'free',
      ]),
    )
    .addOption(
      choice(
        '--least <what>',
        'total: the least effort over the whole song; hardest: make the hardest change as easy as possible',
        'aim of a plan',
        ['total', 'hardest'],
      ),
    )
    .addOption(
      choice(
        '--voicings <which>',
        'stock: the shapes that players commonly use; any: all shapes',
        'choice of voicings',
        ['stock', 'any'],
      ),
    )
    .option('--open', 'allow open courses, for songs that let strings ring')
    .option('--explain', 'other shapes for each chord, and the extra effort of each')
    .option('--no-unicode', 'draw with ASCII characters only')
    .option('--json', 'print one JSON document')
    .addHelpText(
      'after',
      '\nA change fits a tempo if it is finished when the next stroke is due: one beat after the last chop, for which the fingers stay 60 ms.',
    )
    .addHelpText(
      'after',
      examples(
        'barkline plan CHART --key B',
        'barkline plan CHART --without little --least hardest',
        "barkline plan --bars '1 4 1 5' --key Bb",
      ),
    )
    .action(async (file, flags) => {
      const [{ chartOrBars }, { plan }] = await Promise.all([import('./load-bars.js'), import('./plan.js')]);
      done(plan(chartOrBars(file, flags, 'plan'), flags));
    });
