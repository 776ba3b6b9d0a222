import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { tableOf } from './table.js';

/** The page of all commands as Markdown: each with its arguments, options and examples, as they are declared. */
export function commandsPage(program: CommandUnknownOpts): string {
  const sections = [program, ...program.commands.flatMap(withOwn)].map((one) => commandSection(one, '##'));
  const options =
    'An option that takes a value is written `--key A` or `--key=A`. Every command has `--help`.';
  return `# Commands\n\n${options}\n\n${sections.join('\n\n')}\n`;
}

/** A command and those within it. */
function withOwn(command: CommandUnknownOpts): readonly CommandUnknownOpts[] {
  return [command, ...command.commands.flatMap(withOwn)];
}

/** One command as Markdown under a heading of that level, `#` or `##`. */
export function commandSection(command: CommandUnknownOpts, level: string): string {
  const { before, after } = aroundHelp(command);
  const rows = [
    ...command.registeredArguments.map((one) => [
      code(
        one.required
          ? `<${one.name()}${one.variadic ? '…' : ''}>`
          : `[${one.name()}${one.variadic ? '…' : ''}]`,
      ),
      withChoices(one.description, one.argChoices),
    ]),
    ...command.options
      .filter(({ hidden }) => !hidden)
      .map((one) => [
        code(one.flags),
        withChoices(one.description, one.argChoices) +
          (one.defaultValue === undefined || typeof one.defaultValue === 'boolean'
            ? ''
            : `; default: ${one.defaultValue}`),
      ]),
  ];
  const own = command.commands.map((one) => [code(`${fullName(one)} …`), one.description()]);
  return [
    `${level} ${fullName(command)}`,
    code(`${fullName(command)} ${command.usage()}`),
    sentence(command.description()),
    ...before,
    ...(own.length > 0 ? [tableOf(['command', 'does'], own)] : []),
    ...(rows.length > 0 ? [tableOf(['written', 'means'], rows)] : []),
    ...after,
  ].join('\n\n');
}

/** `barkline shed today`. */
function fullName(command: CommandUnknownOpts): string {
  return command.parent ? `${fullName(command.parent)} ${command.name()}` : command.name();
}

function withChoices(description: string, choices: readonly string[] | undefined): string {
  const missing = choices?.some((choice) => !description.includes(choice));
  return missing ? `${description}: ${choices?.join(', ')}` : description;
}

function sentence(text: string): string {
  const first = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.?!]$/.test(first) ? first : `${first}.`;
}

function code(text: string): string {
  return `\`${text}\``;
}

/** What a command's help has after its options: examples and tables become blocks of code, the rest paragraphs. */
function aroundHelp(command: CommandUnknownOpts): { before: readonly string[]; after: readonly string[] } {
  const usual = command.configureOutput();
  let whole = '';
  const writeOut = (text: string): void => {
    whole += text;
  };
  command.configureOutput({ ...usual, writeOut });
  command.outputHelp();
  const told = command.helpInformation();
  command.configureOutput(usual);
  const at = whole.indexOf(told);
  return { before: blocks(whole.slice(0, at)), after: blocks(whole.slice(at + told.length)) };
}

function blocks(text: string): readonly string[] {
  const lines = text.split('\n');
  const out: string[] = [];
  let wasCode: boolean | null = null;
  for (const line of lines) {
    const isCode = /^ {2}/.test(line);
    if (line.trim() === '') wasCode = null;
    else if (wasCode === isCode) out[out.length - 1] += `\n${isCode ? `  ${line}` : line}`;
    else out.push(isCode ? `  ${line}` : line);
    wasCode = line.trim() === '' ? null : isCode;
  }
  return out;
}
