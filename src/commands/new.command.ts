import { Command } from '@commander-js/extra-typings';
import type { Declared } from './declare.js';

/** `new`: a chart to go on from. */
export const declared: Declared = (done) =>
  new Command('new')
    .description('ask title, key, tempo and meter, and write a chart to go on from')
    .argument('[file]', 'the file to write; named after the title without it')
    .action(async (file) => {
      const { newChart } = await import('./new.js');
      done(await newChart(file));
    });
