import { Command } from '@commander-js/extra-typings';
import { dayKinds } from '../shed/day-kind.js';
import { choice, type Declared, examples, several, whole } from './declare.js';
import { withListening } from './shared-options.js';

/** Minutes that a day's practice can last. */
const minutes = [4, 180] as const;

/** `shed today`: a sitting. */
export const shedTodayCommand: Declared = (done) =>
  withListening(
    new Command('today')
      .description('what to practise today, for how long, and why; runs by itself on the stand')
      .addOption(whole('--minutes <minutes>', 'how long, 4 to 180; 20 without it', minutes))
      .option('--set <set>', 'the next set: its songs and hardest changes are practised')
      .option('--on <date>', 'when the set is, 2026-11-28; the set’s own date without it')
      .addOption(
        choice(
          '--day <kind>',
          'what kind of day it is, whatever the week says',
          'kind of day',
          Object.keys(dayKinds),
        ),
      )
      .option('--plan <file>', 'a sitting that was laid out: of today, where the plan has days')
      .option('--date <date>', 'with --plan: of another day, 2026-11-30')
      .option('--check', 'with --plan: tell its faults, and play nothing')
      .option('--who <name>', 'whose diary, hand and targets')
      .option('--json', 'print the sitting as one JSON document')
      .option('--out <output>', 'where it sounds', several),
  )
    .option('--plain', 'typed commands and lines instead of the full screen: barkline help plain')
    .option('--no-unicode', 'draw with plain characters')
    .addHelpText(
      'after',
      examples('barkline shed today --minutes 20', 'barkline shed today --plan WEEK.yaml --who Ansa'),
    )
    .action(async (flags) => {
      const { shedToday } = await import('./shed-today.js');
      done(await shedToday(flags));
    });

/** `shed plan`: a week of sittings. */
export const shedPlanCommand: Declared = (done) =>
  new Command('plan')
    .description('a week of practice as a file that can be changed and run')
    .argument('<name>', 'whose week')
    .addOption(whole('--minutes <minutes>', 'a day, 4 to 180; 20 without it', minutes))
    .option('--set <set>', 'the next set: the week leads to it')
    .option('--on <date>', 'when the set is, 2026-11-28; the set’s own date without it')
    .option('-o, --output <path>', 'the file; stdout without it')
    .option('--text', 'to be read, with what each thing is for')
    .option('--force', 'write over a file that is there')
    .addHelpText(
      'after',
      examples('barkline shed plan Ansa -o WEEK.yaml', 'barkline shed today --plan WEEK.yaml --who Ansa'),
    )
    .action(async (name, flags) => {
      const { shedPlan } = await import('./shed-plan.js');
      done(shedPlan(name, flags));
    });
