import { Command } from '@commander-js/extra-typings';
import { type Declared, several, whole } from './declare.js';

/** Minutes that a day's practice can last. */
const minutes = [4, 180] as const;

/** `shed today`: a sitting. */
export const shedTodayCommand: Declared = (done) =>
  new Command('today')
    .description('what to practise today, for how long, and why; runs by itself on the stand')
    .addOption(whole('--minutes <minutes>', 'how long, 4 to 180; 20 without it', minutes))
    .option('--set <set>', 'the next set: its hardest changes are practised')
    .option('--who <name>', 'whose diary, hand and targets')
    .option('--json', 'print the sitting as one JSON document')
    .option('--out <output>', 'where it sounds', several)
    .option('--no-unicode', 'draw with plain characters')
    .action(async (flags) => {
      const { shedToday } = await import('./shed-today.js');
      done(await shedToday(flags));
    });

/** `shed plan`: a week of sittings. */
export const shedPlanCommand: Declared = (done) =>
  new Command('plan')
    .description('the week’s drills with their tempos, as text')
    .argument('<name>', 'whose week')
    .addOption(whole('--minutes <minutes>', 'a day, 4 to 180; 20 without it', minutes))
    .option('--set <set>', 'the next set')
    .action(async (name, flags) => {
      const { shedPlan } = await import('./shed-today.js');
      done(shedPlan(name, flags));
    });
