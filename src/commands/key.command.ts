import { Command } from '@commander-js/extra-typings';
import { type Declared, examples } from './declare.js';

/** `key`: a key at a glance. */
export const declared: Declared = (done) =>
  new Command('key')
    .description('a key at a glance: scale by number, family, the ways between 1, 4 and 5, usual shapes')
    .argument('<key>', 'A, Bb, F#m')
    .option('--instrument <name>', 'an instrument by name, or a file')
    .option('--from <key>', 'the key before: says whether its family stays')
    .option('--no-unicode', 'plain characters')
    .option('--json', 'one JSON document')
    .addHelpText('after', examples('barkline key Bb', 'barkline key C --from A'))
    .action(async (text, flags) => {
      const { key } = await import('./key.js');
      done(key(text, flags));
    });
