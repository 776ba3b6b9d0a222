import { Command } from '@commander-js/extra-typings';
import { type DrillKind, drillKinds, madeElsewhere } from '../shed/drill.js';
import { type Declared, largestSeed, offeredArgument, whole } from './declare.js';

/** `shed drill`: drills made from a chart. */
export const shedDrillCommand: Declared = (done) =>
  new Command('drill')
    .description('the drills that can be made from a chart, or one of them as a chart')
    .argument('<file>', 'a chart')
    .addArgument(
      offeredArgument(
        '[kind]',
        'which drill is printed',
        (Object.keys(drillKinds) as DrillKind[]).filter((kind) => !madeElsewhere.includes(kind)),
      ),
    )
    .option('--key <key>', 'the key to put the chart in')
    .option('--bar <bar>', 'the bar whose phrase is meant')
    .addOption(whole('--seed <number>', 'for random orders', [0, largestSeed]))
    .option('--chords <numbers>', 'any two chords in alternation: 1,6-')
    .addOption(whole('--bars <bars>', 'so many bars each', [1, 16]))
    .action(async (file, kind, flags) => {
      const { shedDrill } = await import('./shed-drill.js');
      done(shedDrill(file, kind, flags));
    });
