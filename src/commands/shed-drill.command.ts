import { Command } from '@commander-js/extra-typings';
import { type DrillKind, drillKinds, madeElsewhere } from '../shed/drill.js';
import { type Declared, examples, largestSeed, offeredArgument, whole } from './declare.js';
import { asDrill, withPlain } from './shared-options.js';

/** `shed drill`: drills made from a chart. */
export const shedDrillCommand: Declared = (done) =>
  withPlain(
    asDrill(
      new Command('drill')
        .description(
          'list the drills for a chart, or play one on the stand (printed as a chart if there is no terminal)',
        )
        .argument(
          '<file>',
          'a chart, or a drill that needs no chart: six-ways, lift, chop-damped, chop-shape, chop-low, chop-up, steady',
        )
        .addArgument(
          offeredArgument(
            '[kind]',
            'which drill',
            (Object.keys(drillKinds) as DrillKind[]).filter((kind) => !madeElsewhere.includes(kind)),
          ),
        )
        .option('--key <key>', 'the key of the drill (default: the key you last played the chart in)')
        .option('--bar <bar>', 'a bar of the phrase to practise')
        .addOption(whole('--seed <number>', 'the number that decides a random order', [0, largestSeed]))
        .option('--chords <numbers>', 'two chords to alternate: 1,6-')
        .addOption(whole('--bars <bars>', 'the number of bars for each chord', [1, 16]))
        .option(
          '--tempo <tempo>',
          'the target tempo, counted as in the chart, or a percentage of its tempo: 75%',
        ),
    ),
  )
    .addHelpText(
      'after',
      examples(
        'barkline shed drill CHART                    the list of its drills',
        'barkline shed drill CHART chain --bar 9      the phrase of bar 9, built up from its end',
        'barkline shed drill CHART ring > ring.yaml   a chart to keep',
        'barkline shed drill lift --key A             one that needs no chart',
      ),
    )
    .action(async (file, kind, flags) => {
      const { shedDrill } = await import('./shed-drill.js');
      done(await shedDrill(file, kind, flags));
    });
