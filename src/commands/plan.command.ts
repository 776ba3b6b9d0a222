import { Command } from '@commander-js/extra-typings';
import { choice, type Declared, examples, whole } from './declare.js';
import { orBars } from './shared-options.js';

/** `plan`: the way of the hand through a chart. */
export const declared: Declared = (done) =>
  orBars(
    new Command('plan')
      .description(
        'how the hand goes through a chart: every chord with shape, fingers and motion, and the hardest changes',
      )
      .argument('[file]', 'a chart file'),
  )
    .option('--key <key>', 'the key: A, Bb, F#m')
    .option('--instrument <name>', 'an instrument by name, or a file')
    .option('--hand <name>', 'usual, small or large, or a file')
    .option('--without <fingers>', 'fingers to do without: little, or ring,little')
    .addOption(whole('--reach <mm>', 'the widest stretch, mm along the neck', [20, 200]))
    .option('--frets <range>', 'keep within these frets: 1-9')
    .option('--home <where>', 'where the hand is wanted: low (as usual), high, or frets: 5-9')
    .option('--start <frets>', 'begin with this shape: 9-7-4-5')
    .addOption(
      choice('--hold <how>', 'steady: one shape a chord in a song; free', 'way to hold', ['steady', 'free']),
    )
    .addOption(
      choice(
        '--least <what>',
        'total: the least effort as a whole; hardest: the hardest change as easy as can be',
        'aim of a plan',
        ['total', 'hardest'],
      ),
    )
    .addOption(
      choice('--voicings <which>', 'stock: the shapes the trade plays; any', 'choice of voicings', [
        'stock',
        'any',
      ]),
    )
    .option('--open', 'open courses may sound, for songs that let strings ring')
    .option('--explain', 'other ways for each chord, and what each would cost')
    .option('--no-unicode', 'plain characters')
    .option('--json', 'one JSON document')
    .addHelpText(
      'after',
      '\nA change fits a tempo if it is over when the next stroke is due, a beat after the last chop, which keeps the fingers 60 ms.',
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
