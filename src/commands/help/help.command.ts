import { Argument, Command } from '@commander-js/extra-typings';
import { type Declared, examples } from '../declare.js';
import { topics } from './topics.js';

/** `help`: the pages of the reference. It asks the program that it is a command of what commands there are. */
export const declared: Declared = (done) =>
  new Command('help')
    .description('show a page of the reference, or the options of a command')
    .addArgument(
      new Argument('[topic...]', 'a page or a command (default: the list of pages)')
        .choices(topics.map(({ name }) => name))
        .argParser((word: string, before: readonly string[] = []): readonly string[] => [...before, word]),
    )
    .option('--markdown', 'print Markdown; without a topic, print all pages')
    .addHelpText(
      'after',
      examples(
        'barkline help                    the list of pages',
        'barkline help practice           one page, in the pager that PAGER names',
        'barkline help shed drill         a command, its options and examples',
        'barkline help --markdown         the whole reference as one document',
      ),
    )
    .action(async (words, flags, command) => {
      const { help } = await import('./help.js');
      done(await help(words ?? [], flags, command.parent ?? command));
    });
