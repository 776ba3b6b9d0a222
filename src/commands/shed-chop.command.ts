import { Command } from '@commander-js/extra-typings';
import { chopSteps } from '../shed/chop-steps.js';
import { choiceArgument, type Declared, listenHelp, several } from './declare.js';

/** `shed chop`: the chop, as a page and as drills. */
export const shedChopCommand: Declared = (done) =>
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
    .option('--key <key>', 'the key of the drill; G without it')
    .option('--who <name>', 'whose diary')
    .option('--out <output>', 'where it sounds', several)
    .option('--listen', listenHelp.listen)
    .option('--microphone <name>', listenHelp.microphone)
    .option('--no-unicode', 'draw with plain characters')
    .action(async (step, flags) => {
      const { shedChop } = await import('./shed-chop.js');
      done(await shedChop(step, flags));
    });
