import { printDocument } from '../print.js';

/** Shells that have a completion. */
export type Shell = 'bash' | 'zsh' | 'fish';

/*
 * The scripts know nothing of commands: at each Tab they hand the line to the program, which answers what fits (`answer.ts`). Its first
 * line says which files the shell should offer as well; errors are not shown in the shell.
 */

/** For bash from 3.2 on. The second line of an answer is the part of the word after the last break, without quotes. */
const bash = String.raw`_barkline() {
  local files= space= quoting= here= line= program=${'$'}{1/#\~/$HOME}
  COMPREPLY=()
  {
    IFS=' ' read -r files space quoting
    IFS= read -r here
    while IFS= read -r line; do COMPREPLY+=("$line"); done
  } < <("$program" completion bash --answer -- "$COMP_WORDBREAKS" "${'$'}{COMP_LINE:0:COMP_POINT}" 2>/dev/null)
  if [ "$files" = folders ]; then
    while IFS= read -r line; do COMPREPLY+=("$line"); done < <(compgen -d -- "$here")
  elif [ "$files" = files ] || [ "$files" = charts ]; then
    while IFS= read -r line; do
      case $files,$line in
        files,* | *.yaml | *.yml) COMPREPLY+=("$line") ;;
        *) [ -d "${'$'}{line/#\~/$HOME}" ] && COMPREPLY+=("$line") ;;
      esac
    done < <(compgen -f -- "$here")
  fi
  [ "$quoting" = bare ] && compopt +o filenames 2>/dev/null
  [ "$space" = nospace ] && compopt -o nospace 2>/dev/null
  return 0
}
complete -o filenames -F _barkline barkline`;

/** For zsh, sourced or as a file of its function path. */
const zsh = String.raw`#compdef barkline
_barkline() {
  local -a lines offers keep
  local head line
  lines=("${'$'}{(@f)$("${'$'}{(Q)words[1]/#\~/$HOME}" completion zsh --answer -- "${'$'}{(@Q)words[1,CURRENT-1]}" "${'$'}{(Q)PREFIX}" 2>/dev/null)}")
  head=$lines[1]
  for line in "${'$'}{(@)lines[2,-1]}"; do
    [[ -n $line ]] && offers+=("$line")
  done
  [[ $head == *' nospace' ]] && keep=(-S '')
  (( $#offers )) && _describe -t offers 'barkline' offers "$keep[@]"
  [[ $PREFIX == --*=* ]] && compset -P '*='
  case $head in
    charts*) _files -g '*.(yaml|yml)' ;;
    files*) _files ;;
    folders*) _files -/ ;;
  esac
  return 0
}
if [ "$funcstack[1]" = _barkline ]; then
  _barkline "$@"
else
  (( $+functions[compdef] )) || { autoload -Uz compinit && compinit; }
  compdef _barkline barkline
fi`;

/** For fish from 3.0 on, which chooses among what it is told and quotes it by itself. */
const fish = String.raw`function __barkline_offers
    set -l now (commandline -ct)
    set -l words (commandline -xpc 2>/dev/null; or commandline -opc)
    set -l program (string replace -r '^~' $HOME -- $words[1])
    set -l lines (command $program completion fish --answer -- $words "$now" 2>/dev/null)
    for line in $lines[2..-1]
        echo $line
    end
    switch "$lines[1]"
        case 'charts*'
            __fish_complete_path "$now" | string match -r '.*(?:/|\.ya?ml)(?:\t.*)?$'
        case 'files*'
            __fish_complete_path "$now"
        case 'folders*'
            __fish_complete_directories "$now"
    end
end
complete -c barkline -f -k -a '(__barkline_offers)'`;

const scripts: Readonly<Record<Shell, string>> = { bash, zsh, fish };

/** Prints the completion script of a shell. */
export function printScript(shell: Shell): void {
  printDocument(scripts[shell]);
}
