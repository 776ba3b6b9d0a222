import { Command } from '@commander-js/extra-typings';
import type { Declared } from './declare.js';

/** `new`: a chart to start from. */
export const declared: Declared = (done) =>
  new Command('new')
    .description('ask for title, key, tempo and meter, and write a chart to start from')
    .argument('[file]', 'the file to write (default: named after the title)')
    .action(async (file) => {
      const { newChart } = await import('./new.js');
      done(await newChart(file));
    });
