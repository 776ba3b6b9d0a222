import { Command } from '@commander-js/extra-typings';
import { type Declared, largestSeed, whole } from './declare.js';

/** `shed numbers`: questions without the instrument. */
export const shedNumbersCommand: Declared = (done) =>
  new Command('numbers')
    .description('quick questions about numbers, without the instrument')
    .addOption(whole('--count <count>', 'the number of questions (default: 12)', [1, 500]))
    .addOption(whole('--seed <number>', 'the same number gives the same questions', [0, largestSeed]))
    .option('--who <name>', 'whose diary')
    .action(async (flags) => {
      const { shedNumbers } = await import('./shed-numbers.js');
      done(await shedNumbers(flags));
    });
