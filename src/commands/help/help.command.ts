import { Argument, Command } from '@commander-js/extra-typings';
import { type Declared, examples } from '../declare.js';
import { topics } from './topics.js';

/** `help`: the pages of the reference. It asks the program that it is a command of what commands there are. */
export const declared: Declared = (done) =>
  new Command('help')
    .description('show a page of the reference, or what a command can be told')
    .addArgument(
      new Argument('[topic...]', 'a page, or a command; without it the list of the pages')
        .choices(topics.map(({ name }) => name))
        .argParser((word: string, before: readonly string[] = []): readonly string[] => [...before, word]),
    )
    .option('--markdown', 'print it as Markdown; without a topic, all of it')
    .addHelpText(
      'after',
      examples(
        'barkline help                    the pages there are',
        'barkline help practice           one of them, with the pager that PAGER names',
        'barkline help shed drill         a command, its options and examples',
        'barkline help --markdown         the whole reference as one document',
      ),
    )
    .action(async (words, flags, command) => {
      const { help } = await import('./help.js');
      done(await help(words ?? [], flags, command.parent ?? command));
    });
