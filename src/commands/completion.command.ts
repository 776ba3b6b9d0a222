import { Command } from '@commander-js/extra-typings';
import { choiceArgument, type Declared } from './declare.js';

/** `completion`: what a shell offers. It asks the program that it is a command of what there is. */
export const declared: Declared = (done) =>
  new Command('completion')
    .description('print a completion script for a shell')
    .addArgument(choiceArgument('<shell>', 'which shell', 'shell with a completion', ['bash', 'zsh', 'fish']))
    .addHelpText('after', '\nExample:\n  source <(barkline completion bash)')
    .action(async (shell, _, command) => {
      const { completion, completedOf } = await import('./completion.js');
      done(completion(shell, (command.parent?.commands ?? []).map(completedOf)));
    });
