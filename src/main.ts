import { readFileSync } from 'node:fs';
import { CommanderError, type CommandUnknownOpts } from '@commander-js/extra-typings';
import { barklineCommand } from './commands/barkline.command.js';
import { checkCommand } from './commands/check.command.js';
import { completionCommand } from './commands/completion.command.js';
import { diaryCommand } from './commands/diary.command.js';
import { exit, Stop, say } from './commands/exit.js';
import { exportCommand } from './commands/export.command.js';
import { leaveGoneTerminals } from './commands/gone-terminals.js';
import { importCommand } from './commands/import.command.js';
import { keyCommand } from './commands/key.command.js';
import { newCommand } from './commands/new.command.js';
import { planCommand } from './commands/plan.command.js';
import { playCommand } from './commands/play.command.js';
import { portsCommand } from './commands/ports.command.js';
import { finishOutput, guardOutput, printDocument, sayOfCall, whenOutputFails } from './commands/print.js';
import { shapesCommand } from './commands/shapes.command.js';
import { shedCommand } from './commands/shed.command.js';
import { showCommand } from './commands/show.command.js';

/*
 * argv → a command. The only place that ends the process. What a command can be told stands in its own file; what it does
 * is imported when it is called, so that commands which only print do not wait for the screen's libraries.
 */

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

let status: number = exit.done;
const done = (ended: number): void => {
  status = ended;
};

const program = barklineCommand(version, done)
  .enablePositionalOptions()
  .exitOverride()
  .configureOutput({ writeOut: printDocument, writeErr: sayOfCall })
  .showSuggestionAfterError();

/** In the order of the help. */
const commands = [
  playCommand,
  checkCommand,
  shedCommand,
  diaryCommand,
  newCommand,
  importCommand,
  exportCommand,
  completionCommand,
  showCommand,
  shapesCommand,
  keyCommand,
  planCommand,
  portsCommand,
];
for (const declared of commands) program.addCommand(declared(done));
settle(program);

/** Has all commands within a command answer faults of the call as it does. */
function settle(command: CommandUnknownOpts): void {
  for (const one of command.commands) settle(one.copyInheritedSettings(command));
}

guardOutput();
whenOutputFails((ended) => process.exit(ended));
process.on('exit', leaveGoneTerminals);

try {
  await program.parseAsync();
} catch (error) {
  if (error instanceof CommanderError) status = error.exitCode === 0 ? exit.done : exit.call;
  else if (error instanceof Stop) {
    say(`barkline: ${error.what}`);
    if (error.instead !== '') say(error.instead);
    status = error.status;
  } else {
    say(`barkline failed: ${error instanceof Error ? error.message : String(error)}`);
    say('please report it, with what you did before');
    status = 70;
  }
}
// Ends with the results written: a pipe may still be taking them. Ended by a signal it waits for nobody.
process.exitCode = status;
if (status > 128) process.exit(status);
finishOutput(() => process.exit(status));
