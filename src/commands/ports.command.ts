import { Command } from '@commander-js/extra-typings';
import { type Declared, examples } from './declare.js';

/** `ports`: what can be heard now. */
export const declared: Declared = (done) =>
  new Command('ports')
    .description('list MIDI destinations and sources, what can be heard now, and microphones')
    .option('--test <output>', 'a click a second there, to hear it and to set its offset')
    .option('--json', 'one JSON document')
    .addHelpText('after', examples('barkline ports', 'barkline ports --test sound'))
    .action(async (flags) => {
      const { ports } = await import('./ports.js');
      done(await ports(flags));
    });
