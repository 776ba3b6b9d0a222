const controls = /[\u0000-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/g;

/**
 * Text from outside made fit for a terminal: control characters and invisible direction marks become
 * visible symbols (escape is shown as ␛), so that nothing in a file can steer the screen.
 *
 * @example safeText('a\u001b[2Jb') // 'a␛[2Jb'
 */
export function safeText(text: string): string {
  return text.replace(controls, (character) => {
    const code = character.charCodeAt(0);
    if (code < 0x20) return String.fromCharCode(0x2400 + code);
    return code === 0x7f ? '␡' : '�';
  });
}

/** Names put together for a sentence: the first few, and that there are more. */
export function fewNames(names: readonly string[], most = 8): string {
  const shown = names.slice(0, most).map((name) => safeText(name.slice(0, 40)));
  return names.length > most ? `${shown.join(', ')} and ${names.length - most} more` : shown.join(', ');
}

/** `safeText`, cut to at most `most` characters with an ellipsis: for quoting what was found. */
export function quoted(text: string, most = 40): string {
  const short = [...text].length > most ? [...text].slice(0, most - 1).join('') + '…' : text;
  return `“${safeText(short)}”`;
}
