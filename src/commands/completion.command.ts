import { Command } from '@commander-js/extra-typings';
import { choiceArgument, type Declared, examples } from './declare.js';
import { exit } from './exit.js';

/** `completion`: what a shell offers. It asks the program that it is a command of what there is. */
export const declared: Declared = (done) =>
  new Command('completion')
    .description('print a completion script for a shell, which then asks the program what fits')
    .addArgument(choiceArgument('<shell>', 'which shell', 'shell with a completion', ['bash', 'zsh', 'fish']))
    .argument('[words...]', 'with --answer: the line so far')
    .option('--answer', 'print what fits at the end of the line behind --, as the script asks it')
    .addHelpText(
      'after',
      examples(
        'source <(barkline completion bash)          in ~/.bashrc',
        'source <(barkline completion zsh)           in ~/.zshrc',
        'barkline completion fish | source           in ~/.config/fish/config.fish',
      ),
    )
    .action(async (shell, words, { answer }, command) => {
      if (answer) {
        const { answerShell } = await import('./completion/answer.js');
        await answerShell(shell, words, command.parent ?? command);
      } else {
        const { printScript } = await import('./completion/scripts.js');
        printScript(shell);
      }
      done(exit.done);
    });
