import { Command } from '@commander-js/extra-typings';
import { dictationKinds } from '../shed/dictation/figures.js';
import { dictationLevels } from '../shed/dictation/levels.js';
import { choice, choiceArgument, type Declared, examples, largestSeed, several, whole } from './declare.js';
import { asDrill } from './shared-options.js';

/** `shed ear`: changes are named by ear. */
export const shedEarCommand: Declared = (done) =>
  asDrill(
    new Command('ear')
      .description(
        'hear a cadence that sets the key, then chord changes: name each chord by its number while it sounds (with --plain, or without a terminal, type the answers after the phrase)',
      )
      .addArgument(
        choiceArgument(
          '[what]',
          'what plays: changes (bass and chop), bass (alone) or tune (alone); default: changes',
          'kind of ear drill',
          dictationKinds,
        ),
      )
      .addOption(
        choice(
          '--level <level>',
          'the level to begin with (default: from your diary; at first the easiest)',
          'level',
          dictationLevels.map(({ name }) => name),
        ),
      )
      .option(
        '--chart <chart>',
        'use the changes of this chart, with its tune over them; can be repeated',
        several,
      )
      .option('--key <key>', 'always use this key (default: a different key each time)')
      .option('--tempo <tempo>', 'quarters a minute (default: about 120)')
      .option(
        '--tune',
        'play a tune over every phrase (default: from the third level on, over the phrase that decides about the next level)',
      )
      .option('--no-tune', 'never play a tune over the changes')
      .addOption(whole('--seed <number>', 'the same number gives the same questions', [0, largestSeed]))
      .addOption(whole('--count <count>', 'with --plain: the number of phrases (default: 5)', [1, 100]))
      .option('--plain', 'no full screen: answer on a line after each phrase')
      .option('--json', 'print your level and which moves you confuse, and ask nothing'),
  )
    .addHelpText('after', levelWords())
    .addHelpText(
      'after',
      examples(
        'barkline shed ear                       1, 4 and 5 at first, then more',
        'barkline shed ear bass                  only the bass sounds',
        'barkline shed ear tune --chart CHART    which chord fits the tune?',
        'barkline shed ear --level minor         begin with a minor key',
        'barkline shed ear --tune                hear the changes under a tune',
        'barkline shed ear --plain --count 3     typed answers, one line each',
      ),
    )
    .action(async (what, flags) => {
      const { shedEar } = await import('./shed-ear.js');
      done(await shedEar(what ?? 'changes', flags));
    });

function levelWords(): string {
  const rows = dictationLevels.map(({ name, says }) => `  ${name.padEnd(12)} ${says}`);
  return `\nLevels (up after two good phrases in a row, down after two bad ones):\n${rows.join('\n')}`;
}
