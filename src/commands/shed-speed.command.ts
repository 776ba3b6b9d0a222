import { Command } from '@commander-js/extra-typings';
import type { Declared } from './declare.js';

/** `shed speed`: the hand's speed by the diary. */
export const shedSpeedCommand: Declared = (done) =>
  new Command('speed')
    .description('estimate how fast your hand is from the diary, and how well that predicts your passes')
    .option('--who <name>', 'whose diary')
    .option('--json', 'print one JSON document')
    .action(async (flags) => {
      const { shedSpeed } = await import('./shed-speed.js');
      done(shedSpeed(flags));
    });
