import { Command } from '@commander-js/extra-typings';
import { unseenLevels } from '../shed/unseen-levels.js';
import { choice, type Declared, largestSeed, whole } from './declare.js';
import { asDrill, withPlain } from './shared-options.js';

/** `shed unseen`: a chart at sight. */
export const shedUnseenCommand: Declared = (done) =>
  withPlain(
    asDrill(
      new Command('unseen')
        .description('sight-read a new chart made for you (printed if there is no terminal)')
        .addOption(whole('--seed <number>', 'the same number gives the same chart', [0, largestSeed]))
        .option('--key <key>', 'the key (default: G)')
        .addOption(choice('--level <level>', 'how hard it is (default: fair)', 'level', unseenLevels))
        .option('--tempo <tempo>', 'quarters a minute (default: 160)')
        .addOption(whole('--late <beats>', 'show each number only this many beats before it is due', [1, 8])),
    ),
  ).action(async (flags) => {
    const { shedUnseen } = await import('./shed-unseen.js');
    done(await shedUnseen(flags));
  });
