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
          'the drills that can be made from a chart; one of them on the stand, or printed as a chart where there is no terminal',
        )
        .argument(
          '<file>',
          'a chart; or a drill that needs none: six-ways, lift, chop-damped, chop-shape, chop-low, chop-up, steady',
        )
        .addArgument(
          offeredArgument(
            '[kind]',
            'which drill',
            (Object.keys(drillKinds) as DrillKind[]).filter((kind) => !madeElsewhere.includes(kind)),
          ),
        )
        .option(
          '--key <key>',
          'the key to put the chart in; without it the one in which it stands on the stand',
        )
        .option('--bar <bar>', 'the bar whose phrase is meant')
        .addOption(whole('--seed <number>', 'for random orders', [0, largestSeed]))
        .option('--chords <numbers>', 'any two chords in alternation: 1,6-')
        .addOption(whole('--bars <bars>', 'so many bars each', [1, 16]))
        .option(
          '--tempo <tempo>',
          'the tempo that is aimed at, as the chart counts, or a share of its own: 75%',
        ),
    ),
  )
    .addHelpText(
      'after',
      examples(
        'barkline shed drill CHART                    which there are',
        'barkline shed drill CHART chain --bar 9      the phrase of bar 9 from its end, on the stand',
        'barkline shed drill CHART ring > ring.yaml   a chart to keep',
        'barkline shed drill lift --key A             one that needs no chart',
      ),
    )
    .action(async (file, kind, flags) => {
      const { shedDrill } = await import('./shed-drill.js');
      done(await shedDrill(file, kind, flags));
    });
