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
        'the key is given by a cadence, then chords change: name each by its number while it sounds; typed behind the phrase with --plain, or where there is no terminal',
      )
      .addArgument(
        choiceArgument(
          '[what]',
          'what sounds: bass and chop, the bass by itself, or a tune by itself; changes without it',
          'kind of ear drill',
          dictationKinds,
        ),
      )
      .addOption(
        choice(
          '--level <level>',
          'begin there; without it where the diary says, at first with the easiest',
          'level',
          dictationLevels.map(({ name }) => name),
        ),
      )
      .option(
        '--chart <chart>',
        'ask about the changes of this chart, its tune led over them; may be written several times',
        several,
      )
      .option('--key <key>', 'always in this key; without it in another one each time')
      .option('--tempo <tempo>', 'quarters a minute; without it about 120')
      .option(
        '--tune',
        'a tune over every phrase, its own or the chart’s; without it from the third level on over the phrase that would lead up',
      )
      .option('--no-tune', 'no tune over the changes')
      .addOption(whole('--seed <number>', 'the same number asks the same', [0, largestSeed]))
      .addOption(whole('--count <count>', 'with --plain: so many phrases; 5 without it', [1, 100]))
      .option('--plain', 'a line for each answer, behind the phrase, and no screen')
      .option('--json', 'print where you stand and which moves are taken for which, and ask nothing'),
  )
    .addHelpText('after', levelWords())
    .addHelpText(
      'after',
      examples(
        'barkline shed ear                       1, 4 and 5 at first, then more as it goes well',
        'barkline shed ear bass                  only the bass sounds',
        'barkline shed ear tune --chart CHART    which chord fits the tune?',
        'barkline shed ear --level minor         begin with a minor key',
        'barkline shed ear --tune                hear the changes under a tune',
        'barkline shed ear --plain --count 3     typed, a line for each answer',
      ),
    )
    .action(async (what, flags) => {
      const { shedEar } = await import('./shed-ear.js');
      done(await shedEar(what ?? 'changes', flags));
    });

function levelWords(): string {
  const rows = dictationLevels.map(({ name, says }) => `  ${name.padEnd(12)} ${says}`);
  return `\nLevels, up after two good phrases in a row, down after two bad ones:\n${rows.join('\n')}`;
}
