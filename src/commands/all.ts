import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { barklineCommand } from './barkline.command.js';
import type { Declared } from './declare.js';

/** Where each command is declared, in the order of the help. What does its work is imported when it is called. */
const commands: Readonly<Record<string, () => Promise<{ readonly declared: Declared }>>> = {
  play: () => import('./play.command.js'),
  lead: () => import('./lead.command.js'),
  join: () => import('./join.command.js'),
  check: () => import('./check.command.js'),
  shed: () => import('./shed.command.js'),
  diary: () => import('./diary.command.js'),
  new: () => import('./new.command.js'),
  import: () => import('./import.command.js'),
  export: () => import('./export.command.js'),
  completion: () => import('./completion.command.js'),
  show: () => import('./show.command.js'),
  shapes: () => import('./shapes.command.js'),
  key: () => import('./key.command.js'),
  plan: () => import('./plan.command.js'),
  ports: () => import('./ports.command.js'),
  listen: () => import('./listen.command.js'),
  help: () => import('./help/help.command.js'),
};

/** The commands that have to know all the others: what they print is made from the declarations. */
const readAll = ['completion', 'help'];

/**
 * The program with the commands that a call needs: of a call that begins with a command that one, of the help and the completion
 * all. Without a call all of them, too.
 *
 * @param words what comes after `barkline`
 */
export async function programFor(
  version: string,
  done: (status: number) => void,
  words: readonly string[] = ['--help'],
) {
  const program = barklineCommand(version, done).helpCommand(false);
  for (const { declared } of await Promise.all(wanted(words).map((load) => load())))
    program.addCommand(declared(done));
  return program;
}

function wanted(words: readonly string[]): readonly (() => Promise<{ readonly declared: Declared }>)[] {
  const [first = ''] = words;
  const called = Object.hasOwn(commands, first) ? commands[first] : undefined;
  if (called && !readAll.includes(first)) return [called];
  const speaks = words.some((word) => ['--help', '-h'].includes(word) || Object.hasOwn(commands, word));
  return speaks ? Object.values(commands) : [];
}

/** Has all commands within a command answer faults of the call as it does. */
export function settle(command: CommandUnknownOpts): void {
  for (const one of command.commands) settle(one.copyInheritedSettings(command));
}
