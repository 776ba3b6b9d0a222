import { Command } from '@commander-js/extra-typings';
import { chopSteps } from '../shed/chop-steps.js';
import { choiceArgument, type Declared } from './declare.js';
import { asDrill, withPlain } from './shared-options.js';

/** `shed chop`: the chop, as a page and as drills. */
export const shedChopCommand: Declared = (done) =>
  withPlain(
    asDrill(
      new Command('chop')
        .description('the chop: how it is done, how to hear that it is right, and its drills')
        .addArgument(
          choiceArgument(
            '[step]',
            'its drill on the stand; the page without it',
            'step of the chop',
            Object.keys(chopSteps) as (keyof typeof chopSteps)[],
          ),
        )
        .option('--key <key>', 'the key of the drill; G without it'),
    ),
  ).action(async (step, flags) => {
    const { shedChop } = await import('./shed-chop.js');
    done(await shedChop(step, flags));
  });
