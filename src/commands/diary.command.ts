import { Command } from '@commander-js/extra-typings';
import { type Declared, whole } from './declare.js';

/** `diary`: what was practised. */
export const declared: Declared = (done) =>
  new Command('diary')
    .description('what was practised, how it went, and which tempos hold')
    .option('--who <name>', 'whose diary')
    .addOption(whole('--days <days>', 'so many days; 7 without it', [1, 366]))
    .option('--since <date>', 'only from this day on, 2026-11-28')
    .option('--plan <plan>', 'only what was played by this plan: its file, or its title')
    .option('--json', 'print one JSON document')
    .option('--csv', 'print a line a pass, for spreadsheets')
    .option('--no-unicode', 'draw with plain characters')
    .action(async (flags) => {
      const { showDiary } = await import('./diary.js');
      done(showDiary(flags));
    });
