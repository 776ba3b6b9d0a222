import { Command } from '@commander-js/extra-typings';
import { type Declared, examples } from './declare.js';
import { shedChopCommand } from './shed-chop.command.js';
import { shedDrillCommand } from './shed-drill.command.js';
import { shedEarCommand } from './shed-ear.command.js';
import { shedNumbersCommand } from './shed-numbers.command.js';
import { shedPathCommand } from './shed-path.command.js';
import { shedSpeedCommand } from './shed-speed.command.js';
import { shedPlanCommand, shedTodayCommand } from './shed-today.command.js';
import { shedUnseenCommand } from './shed-unseen.command.js';

/** `shed`: all that is for practice, as commands of its own. */
export const declared: Declared = (done) => {
  const shed = new Command('shed')
    .description('practise: today’s sitting, drills, sight reading, changes by ear, numbers')
    .addHelpText(
      'after',
      examples(
        'barkline shed today --minutes 20             a practice sitting on the stand, planned for you',
        'barkline shed drill CHART                    the drills that can be made from a chart',
        'barkline shed drill six-ways --key A          all changes between 1, 4 and 5, in a key',
        'barkline shed chop                           the chop, and its drills',
        'barkline shed unseen --level hard --key B    a chart at sight',
        'barkline shed ear                            name the changes that you hear',
        'barkline shed numbers                        4 of Bb?',
        'barkline shed path                           the path for beginners, and how far you are',
        'barkline shed plan Ansa -o WEEK.yaml         a week of practice for a student, as a file',
      ),
    );
  const parts = [
    shedTodayCommand,
    shedPlanCommand,
    shedPathCommand,
    shedDrillCommand,
    shedChopCommand,
    shedUnseenCommand,
    shedEarCommand,
    shedNumbersCommand,
    shedSpeedCommand,
  ];
  for (const declared of parts) shed.addCommand(declared(done));
  return shed;
};
