import { Command } from '@commander-js/extra-typings';
import { chopSteps } from '../shed/chop-steps.js';
import { choiceArgument, type Declared } from './declare.js';
import { asDrill, withPlain } from './shared-options.js';

/** `shed chop`: the chop, as a page and as drills. */
export const shedChopCommand: Declared = (done) =>
  withPlain(
    asDrill(
      new Command('chop')
        .description('learn the chop: how to do it, how to hear that it is right, and its drills')
        .addArgument(
          choiceArgument(
            '[step]',
            'the step to practise on the stand (default: show the page)',
            'step of the chop',
            Object.keys(chopSteps) as (keyof typeof chopSteps)[],
          ),
        )
        .option('--key <key>', 'the key of the drill (default: G)'),
    ),
  ).action(async (step, flags) => {
    const { shedChop } = await import('./shed-chop.js');
    done(await shedChop(step, flags));
  });
