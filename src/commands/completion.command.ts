import { Command } from '@commander-js/extra-typings';
import { choiceArgument, type Declared, examples } from './declare.js';
import { exit } from './exit.js';

/** `completion`: the script for a shell, and the answers that this script asks the program for. */
export const declared: Declared = (done) =>
  new Command('completion')
    .description('print a script that lets a shell complete commands, options, and names of charts and ports')
    .addArgument(choiceArgument('<shell>', 'the shell', 'shell with a completion', ['bash', 'zsh', 'fish']))
    .argument('[words...]', 'with --answer: the line so far')
    .option('--answer', 'print what completes the line after --; the script calls this')
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
