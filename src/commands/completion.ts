import { majorTonics, minorTonics } from '../theory/key.js';
import { exit, printDocument, Stop } from './exit.js';

/** One command as the completion must know it. */
export interface CompletedCommand {
  readonly name: string;
  readonly options: readonly string[];
}

/** Prints the completion script of a shell: commands, options, keys, and files. */
export function completion(shell: string, commands: readonly CompletedCommand[]): number {
  const keys = [...majorTonics, ...minorTonics.map((tonic) => `${tonic}m`)].join(' ');
  if (shell === 'bash' || shell === 'zsh') printDocument(bashScript(commands, keys, shell === 'zsh'));
  else if (shell === 'fish') printDocument(fishScript(commands, keys));
  else throw new Stop(exit.call, `no completion for “${shell}”`, 'there is bash, zsh and fish');
  return exit.done;
}

function bashScript(commands: readonly CompletedCommand[], keys: string, zsh: boolean): string {
  const cases = commands
    .map(({ name, options }) => `    ${name}) words="${options.join(' ')}" ;;`)
    .join('\n');
  return `${zsh ? 'autoload -U +X bashcompinit && bashcompinit\n' : ''}_barkline() {
  local here=\${COMP_WORDS[COMP_CWORD]} before=\${COMP_WORDS[COMP_CWORD-1]} words=""
  if [ "$before" = --key ]; then COMPREPLY=($(compgen -W "${keys}" -- "$here")); return; fi
  if [ "$COMP_CWORD" -eq 1 ]; then COMPREPLY=($(compgen -W "${commands.map(({ name }) => name).join(' ')}" -- "$here") $(compgen -d -- "$here")); return; fi
  case \${COMP_WORDS[1]} in
${cases}
  esac
  case $here in
    -*) COMPREPLY=($(compgen -W "$words" -- "$here")) ;;
    *) COMPREPLY=($(compgen -f -- "$here")) ;;
  esac
}
complete -o filenames -F _barkline barkline`;
}

function fishScript(commands: readonly CompletedCommand[], keys: string): string {
  const names = commands.map(({ name }) => name).join(' ');
  const lines = commands.flatMap(({ name, options }) =>
    options.map(
      (option) =>
        `complete -c barkline -n "__fish_seen_subcommand_from ${name}" -l ${option.slice(2)}${option === '--key' ? ` -x -a "${keys}"` : ''}`,
    ),
  );
  return [`complete -c barkline -n "not __fish_seen_subcommand_from ${names}" -a "${names}"`, ...lines].join(
    '\n',
  );
}
