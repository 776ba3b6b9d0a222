import { Command } from '@commander-js/extra-typings';
import { choice, type Declared, examples } from './declare.js';
import { orBars } from './shared-options.js';

/** `show`: a chart or a running order as text. */
export const declared: Declared = (done) =>
  orBars(
    new Command('show')
      .description('print a chart in a key, or a set’s running order')
      .argument('[file]', 'a chart or set file'),
  )
    .option('--key <key>', 'the key: A, Bb, F#m')
    .option('--for <singer>', 'the chart’s key for this singer')
    .option(
      '--capo <fret>',
      'add chord letters for guitar and banjo with a capo; auto finds the lowest capo with shapes of G, C or D (in minor Em or Am)',
    )
    .option('--fits <singer>', 'the keys that fit this singer from the settings')
    .option('--range <notes>', 'the keys that fit this range: A3-D5')
    .addOption(
      choice(
        '--as <form>',
        'text; chart: the file as it is, with only the key changed if you ask for one; tidy-chart: the chart in a fixed order and spacing',
        'form to show a chart in',
        ['text', 'chart', 'tidy-chart'],
      ).default('text'),
    )
    .option('--json', 'print one JSON document: one pass, bar by bar')
    .addHelpText(
      'after',
      examples(
        'barkline show CHART --key Eb',
        'barkline show CHART --key Bb --capo auto',
        'barkline show CHART --range A3-D5',
        'barkline show CHART --as chart',
        "barkline show --bars '1 1 4 1 / 1 5 1 1' --as chart",
      ),
    )
    .action(async (file, flags) => {
      const { showFile } = await import('./show-file.js');
      done(await showFile(file, flags));
    });
