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
      .description('plan and run today’s practice: what to play, for how long, and why')
      .addOption(whole('--minutes <minutes>', 'the length in minutes, 4 to 180 (default: 20)', minutes))
      .option('--set <set>', 'your next set: practise its songs and hardest changes')
      .option('--on <date>', 'the date of the set: 2026-11-28 (default: the date in the set)')
      .addOption(
        choice(
          '--day <kind>',
          'the kind of day, instead of the one in the week',
          'kind of day',
          Object.keys(dayKinds),
        ),
      )
      .option('--plan <file>', 'a plan to follow: today’s part, if the plan has days')
      .option('--date <date>', 'with --plan: another day: 2026-11-30')
      .option('--check', 'with --plan: check the plan, and play nothing')
      .option('--who <name>', 'use the diary, hand and targets of this person')
      .option('--json', 'print the sitting as one JSON document')
      .option('--out <output>', 'where to play the sound', several),
  )
    .option('--plain', 'typed commands and lines instead of the full screen: barkline help plain')
    .option('--no-unicode', 'draw with ASCII characters only')
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
    .description('write a week of practice as a file that you can change and run')
    .argument('<name>', 'whose week')
    .addOption(whole('--minutes <minutes>', 'minutes for each day, 4 to 180 (default: 20)', minutes))
    .option('--set <set>', 'the next set, which the week prepares for')
    .option('--on <date>', 'the date of the set: 2026-11-28 (default: the date in the set)')
    .option('-o, --output <path>', 'the output file (default: stdout)')
    .option('--text', 'print it for reading, with a reason for each thing')
    .option('--force', 'overwrite an existing file')
    .addHelpText(
      'after',
      examples('barkline shed plan Ansa -o WEEK.yaml', 'barkline shed today --plan WEEK.yaml --who Ansa'),
    )
    .action(async (name, flags) => {
      const { shedPlan } = await import('./shed-plan.js');
      done(shedPlan(name, flags));
    });
