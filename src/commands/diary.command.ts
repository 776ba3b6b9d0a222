import { Command } from '@commander-js/extra-typings';
import { type Declared, whole } from './declare.js';

/** `diary`: what was practised. */
export const declared: Declared = (done) =>
  new Command('diary')
    .description('show what you practised, how it went, and which tempos you can hold')
    .option('--who <name>', 'whose diary')
    .addOption(whole('--days <days>', 'the number of days (default: 7)', [1, 366]))
    .option('--since <date>', 'only from this day on: 2026-11-28')
    .option('--plan <plan>', 'only what was played with this plan: its file or title')
    .option('--json', 'print one JSON document')
    .option('--csv', 'print CSV for spreadsheets, one line for each pass')
    .option('--no-unicode', 'draw with ASCII characters only')
    .action(async (flags) => {
      const { showDiary } = await import('./diary.js');
      done(showDiary(flags));
    });
