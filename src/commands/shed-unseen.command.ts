import { Command } from '@commander-js/extra-typings';
import { unseenLevels } from '../shed/unseen-levels.js';
import { choice, type Declared, largestSeed, whole } from './declare.js';
import { asDrill, withPlain } from './shared-options.js';

/** `shed unseen`: a chart at sight. */
export const shedUnseenCommand: Declared = (done) =>
  withPlain(
    asDrill(
      new Command('unseen')
        .description('a chart you have never seen, at sight; printed where there is no terminal')
        .addOption(whole('--seed <number>', 'the same number makes the same chart', [0, largestSeed]))
        .option('--key <key>', 'the key that is called; G without it')
        .addOption(choice('--level <level>', 'how hard it is; fair without it', 'level', unseenLevels))
        .option('--tempo <tempo>', 'quarters a minute; 160 without it')
        .addOption(whole('--late <beats>', 'numbers appear only so many beats before they are due', [1, 8])),
    ),
  ).action(async (flags) => {
    const { shedUnseen } = await import('./shed-unseen.js');
    done(await shedUnseen(flags));
  });
