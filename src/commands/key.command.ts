import { Command } from '@commander-js/extra-typings';
import { type Declared, examples } from './declare.js';

/** `key`: a key at a glance. */
export const declared: Declared = (done) =>
  new Command('key')
    .description(
      'show a key: its scale by number, its family of shapes, the moves between 1, 4 and 5, and the usual shapes',
    )
    .argument('<key>', 'A, Bb, F#m')
    .option('--instrument <name>', 'an instrument by name, or a file')
    .option('--from <key>', 'the key you come from: says whether its family stays')
    .option('--no-unicode', 'draw with ASCII characters only')
    .option('--json', 'print one JSON document')
    .addHelpText('after', examples('barkline key Bb', 'barkline key C --from A'))
    .action(async (text, flags) => {
      const { key } = await import('./key.js');
      done(key(text, flags));
    });
