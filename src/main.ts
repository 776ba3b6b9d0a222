import { readFileSync } from 'node:fs';
import { CommanderError, type CommandUnknownOpts } from '@commander-js/extra-typings';
import { barklineCommand } from './commands/barkline.command.js';
import type { Declared } from './commands/declare.js';
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

const program = barklineCommand(version, done)
  .enablePositionalOptions()
  .exitOverride()
  .configureOutput({ writeOut: printDocument, writeErr: sayOfCall })
  .showSuggestionAfterError();

/** Where each command is declared, in the order of the help. */
const commands: Readonly<Record<string, () => Promise<{ readonly declared: Declared }>>> = {
  play: () => import('./commands/play.command.js'),
  lead: () => import('./commands/lead.command.js'),
  join: () => import('./commands/join.command.js'),
  check: () => import('./commands/check.command.js'),
  shed: () => import('./commands/shed.command.js'),
  diary: () => import('./commands/diary.command.js'),
  new: () => import('./commands/new.command.js'),
  import: () => import('./commands/import.command.js'),
  export: () => import('./commands/export.command.js'),
  completion: () => import('./commands/completion.command.js'),
  show: () => import('./commands/show.command.js'),
  shapes: () => import('./commands/shapes.command.js'),
  key: () => import('./commands/key.command.js'),
  plan: () => import('./commands/plan.command.js'),
  ports: () => import('./commands/ports.command.js'),
  listen: () => import('./commands/listen.command.js'),
};

for (const { declared } of await Promise.all(wanted(process.argv.slice(2)).map((load) => load())))
  program.addCommand(declared(done));
settle(program);

/** What of `commands` a call has to do with: of one that begins with a command that one, of the help and the completion all. */
function wanted(words: readonly string[]): readonly (() => Promise<{ readonly declared: Declared }>)[] {
  const [first = ''] = words;
  const called = Object.hasOwn(commands, first) ? commands[first] : undefined;
  if (called && first !== 'completion') return [called];
  const speaks = words.some((word) => ['--help', '-h'].includes(word) || Object.hasOwn(commands, word));
  return speaks ? Object.values(commands) : [];
}

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
