import { Command } from '@commander-js/extra-typings';
import { type Declared, examples } from './declare.js';
import { exit, printDocument, Stop } from './exit.js';

/** `check`: the faults of charts and sets. */
export const declared: Declared = (done) =>
  new Command('check')
    .description('check charts, sets and plans, and report every mistake')
    .argument('[files...]', 'chart, set or plan files')
    .option('--json', 'print one JSON document')
    .option('--watch', 'check again each time the file is saved, and show the chart')
    .option('--notation', 'print a summary of the notation, one screen long')
    .addHelpText('after', examples('barkline check charts/*.yaml', 'barkline check --watch CHART'))
    .action(async (files, flags) => {
      if (flags.notation) {
        const { notation } = await import('../chart/notation.js');
        printDocument(notation);
        done(exit.done);
        return;
      }
      if (files.length === 0)
        throw new Stop(exit.call, 'no file was named', 'name charts or sets: barkline check FILE…');
      if (flags.watch) {
        const { watch } = await import('./watch.js');
        done(await watch(files));
        return;
      }
      const { check } = await import('./check.js');
      done(check(files, flags));
    });
