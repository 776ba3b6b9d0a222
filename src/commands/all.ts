import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { barklineCommand } from './barkline.command.js';
import { chartFile } from './chart-names.js';
import { argumentOffer, commandPath, isChartOffer, optionOffer } from './completion/offers.js';
import type { Declared } from './declare.js';

/** Where each command is declared, in the order of the help. The code that does the work is imported when a command is called. */
const commands: Readonly<Record<string, () => Promise<{ readonly declared: Declared }>>> = {
  play: () => import('./play.command.js'),
  click: () => import('./click.command.js'),
  lead: () => import('./lead.command.js'),
  join: () => import('./join.command.js'),
  check: () => import('./check.command.js'),
  shed: () => import('./shed.command.js'),
  diary: () => import('./diary.command.js'),
  new: () => import('./new.command.js'),
  import: () => import('./import.command.js'),
  export: () => import('./export.command.js'),
  completion: () => import('./completion.command.js'),
  find: () => import('./find.command.js'),
  show: () => import('./show.command.js'),
  shapes: () => import('./shapes.command.js'),
  key: () => import('./key.command.js'),
  plan: () => import('./plan.command.js'),
  ports: () => import('./ports.command.js'),
  listen: () => import('./listen.command.js'),
  doctor: () => import('./doctor.command.js'),
  help: () => import('./help/help.command.js'),
};

/** The commands that need all the others: what they print is made from the declarations. */
const readAll = ['completion', 'help'];

/**
 * The program with the commands that a call needs: only the called command, or all of them for the help, the completion, and a
 * call without a command.
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
  const completed = first === 'completion' && words.includes('--answer') ? commandIn(words) : null;
  if (completed !== null)
    return [commands.completion, commands[completed]].filter((load) => load !== undefined);
  const called = Object.hasOwn(commands, first) ? commands[first] : undefined;
  if (called && !readAll.includes(first)) return [called];
  const speaks = words.some((word) => ['--help', '-h'].includes(word) || Object.hasOwn(commands, word));
  return speaks ? Object.values(commands) : [];
}

/** The command of the line that a shell asks about; `null` where it is only being typed, or is one that knows all the others. */
function commandIn(words: readonly string[]): string | null {
  const line = words.slice(words.indexOf('--') + 1).join(' ');
  const typed = line.trimStart().split(/\s+/).slice(1, -1);
  const name = typed.find((word) => Object.hasOwn(commands, word));
  return name !== undefined && name === typed[0] && !readAll.includes(name) ? name : null;
}

/** Lets charts and sets be named without folder and extension, wherever a command takes one. */
export function nameCharts(command: CommandUnknownOpts): void {
  const path = commandPath(command);
  for (const one of command.registeredArguments)
    if (isChartOffer(argumentOffer(path, one.name()))) named(one);
  for (const one of command.options) if (isChartOffer(optionOffer(one))) named(one);
  for (const one of command.commands) nameCharts(one);
}

/** Replaces a value by the file that it names, before it is read. */
function named(one: Pick<CommandUnknownOpts['options'][number], 'parseArg' | 'variadic'>): void {
  const read = one.parseArg;
  const parse = (text: string, before: unknown): unknown => {
    const file = chartFile(text);
    if (read) return read.call(one, file, before as never);
    return one.variadic ? [...(Array.isArray(before) ? before : []), file] : file;
  };
  one.parseArg = parse as NonNullable<typeof one.parseArg>;
}

/** Makes all commands within a command report mistakes of the command line as it does. */
export function settle(command: CommandUnknownOpts): void {
  for (const one of command.commands) settle(one.copyInheritedSettings(command));
}
