import { Command } from '@commander-js/extra-typings';
import { type Declared, examples } from './declare.js';

/** `ports`: what can be heard now. */
export const declared: Declared = (done) =>
  new Command('ports')
    .description('list MIDI destinations and sources, the outputs that work now, and microphones')
    .option('--test <output>', 'play a click each second on this output, to hear it and to set its offset')
    .option('--json', 'print one JSON document')
    .addHelpText('after', examples('barkline ports', 'barkline ports --test sound'))
    .action(async (flags) => {
      const { ports } = await import('./ports.js');
      done(await ports(flags));
    });
