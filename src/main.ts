import { readFileSync } from 'node:fs';
import { CommanderError } from '@commander-js/extra-typings';
import { nameCharts, programFor, settle } from './commands/all.js';
import { exit, Stop, say } from './commands/exit.js';
import { leaveGoneTerminals } from './commands/gone-terminals.js';
import { finishOutput, guardOutput, printDocument, sayOfCall, whenOutputFails } from './commands/print.js';

/*
 * argv → a command. The only place that ends the process. What a command can be told stands in its own file beside what reads
 * it, and both are imported when it is called, so that commands which only print do not wait for the screen's libraries.
 */

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

let status: number = exit.done;
const done = (ended: number): void => {
  status = ended;
};

const program = (await programFor(version, done, process.argv.slice(2)))
  .enablePositionalOptions()
  .exitOverride()
  .configureOutput({ writeOut: printDocument, writeErr: sayOfCall })
  .showSuggestionAfterError();
settle(program);
nameCharts(program);

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
    say('please report it, with what you did before it happened');
    status = 70;
  }
}
// Ends with the results written: a pipe may still be taking them. Ended by a signal it waits for nobody.
process.exitCode = status;
if (status > 128) process.exit(status);
finishOutput(() => process.exit(status));
