import type { CommandUnknownOpts } from '@commander-js/extra-typings';
import { majorTonics, minorTonics } from '../theory/key.js';
import { exit, printDocument } from './exit.js';

/** One command as the completion must know it. */
export interface CompletedCommand {
  readonly name: string;
  /** Its options and those of its own commands, with what may come after them; none where that is open. */
  readonly options: readonly { readonly flag: string; readonly choices: readonly string[] }[];
  /** Commands of its own. */
  readonly words: readonly string[];
  /** What may stand as an argument, where that is a closed set. */
  readonly named: readonly string[];
}

/** What the completion must know of a command. */
export function completedOf(command: CommandUnknownOpts): CompletedCommand {
  const all = [command, ...command.commands];
  const keys = [...majorTonics, ...minorTonics.map((tonic) => `${tonic}m`)];
  return {
    name: command.name(),
    options: all.flatMap((one) =>
      one.options.flatMap(({ long, argChoices }) =>
        long ? [{ flag: long, choices: long === '--key' ? keys : (argChoices ?? []) }] : [],
      ),
    ),
    words: command.commands.map((one) => one.name()),
    named: all.flatMap((one) => one.registeredArguments.flatMap(({ argChoices }) => argChoices ?? [])),
  };
}

/** Prints the completion script of a shell: commands, options, what is to be chosen from, and files. */
export function completion(shell: 'bash' | 'zsh' | 'fish', commands: readonly CompletedCommand[]): number {
  printDocument(shell === 'fish' ? fishScript(commands) : bashScript(commands, shell === 'zsh'));
  return exit.done;
}

function bashScript(commands: readonly CompletedCommand[], zsh: boolean): string {
  const names = commands.map(({ name }) => name).join(' ');
  const cases = commands.map(
    ({ name, options, words, named }) =>
      `    ${name}) words="${words.join(' ')}" named="${named.join(' ')}" options="${[...new Set(options.map(({ flag }) => flag))].join(' ')}" ;;`,
  );
  const chosen = commands.flatMap(({ name, options }) =>
    options
      .filter(({ choices }) => choices.length > 0)
      .map(({ flag, choices }) => `    "${name} ${flag}") chosen="${choices.join(' ')}" ;;`),
  );
  return `${zsh ? 'autoload -U +X bashcompinit && bashcompinit\n' : ''}_barkline() {
  local here=\${COMP_WORDS[COMP_CWORD]} before=\${COMP_WORDS[COMP_CWORD-1]} options="" words="" named="" chosen=""
  if [ "$COMP_CWORD" -eq 1 ]; then COMPREPLY=($(compgen -W "${names}" -- "$here") $(compgen -d -- "$here")); return; fi
  case "\${COMP_WORDS[1]} $before" in
${[...new Set(chosen)].join('\n')}
  esac
  if [ -n "$chosen" ]; then COMPREPLY=($(compgen -W "$chosen" -- "$here")); return; fi
  case \${COMP_WORDS[1]} in
${cases.join('\n')}
  esac
  case $here in
    -*) COMPREPLY=($(compgen -W "$options" -- "$here")) ;;
    *) COMPREPLY=($(compgen -W "$words $named" -- "$here") $(compgen -f -- "$here")) ;;
  esac
}
complete -o filenames -F _barkline barkline`;
}

function fishScript(commands: readonly CompletedCommand[]): string {
  const names = commands.map(({ name }) => name).join(' ');
  const lines = commands.flatMap(({ name, options, words, named }) => {
    const begin = `complete -c barkline -n "__fish_seen_subcommand_from ${name}"`;
    return [
      ...[words, named].filter(({ length }) => length > 0).map((list) => `${begin} -a "${list.join(' ')}"`),
      ...options.map(
        ({ flag, choices }) =>
          `${begin} -l ${flag.slice(2)}${choices.length > 0 ? ` -x -a "${choices.join(' ')}"` : ''}`,
      ),
    ];
  });
  return [
    `complete -c barkline -n "not __fish_seen_subcommand_from ${names}" -a "${names}"`,
    ...new Set(lines),
  ].join('\n');
}
