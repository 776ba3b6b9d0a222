import { Command } from '@commander-js/extra-typings';
import { type Declared, examples, whole } from './declare.js';

/** `doctor`: which of the things that playing needs work on this machine. */
export const declared: Declared = (done) =>
  new Command('doctor')
    .description(
      'try sound, MIDI, microphone, terminal, files and network, and say what to do where something does not work',
    )
    .option('--sound', 'play a click, to hear whether sound arrives; without it nothing sounds')
    .option('--no-network', 'leave out everything that uses the network')
    .addOption(whole('--wait <seconds>', 'how long each check may take (default: 2)', [1, 60]))
    .option('--json', 'print one JSON document')
    .addHelpText(
      'after',
      '\nExit status: 0 when everything that is needed works: sound or MIDI, a terminal that is large enough, folders that can be written;\n1 when only settings or a chart are at fault, 3 when the machine lacks something. barkline help trouble says more.',
    )
    .addHelpText(
      'after',
      examples('barkline doctor', 'barkline doctor --sound', 'barkline doctor --json > doctor.json'),
    )
    .action(async (flags) => {
      const { doctor } = await import('./doctor/doctor.js');
      done(await doctor(flags));
    });
