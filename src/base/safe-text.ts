/*
 * What must not reach a terminal from outside: control characters (C0, delete, C1), which steer it; marks, embeddings, overrides
 * and isolates of direction, which make a line read differently from what is written; line and paragraph separators; and what cannot be
 * seen at all: signs of no width, interlinear annotation, tags.
 */
const signs =
  '\\u0000-\\u001a\\u001c-\\u001f\\u007f-\\u009f\\u061c\\u180e\\u200b-\\u200f\\u2028-\\u202e\\u2060-\\u206f\\ufeff\\ufff9-\\ufffb';
const unsafe = new RegExp(`[\\u001b${signs}\\u{e0000}-\\u{e007f}]`, 'gu');
/** Whether a text may have any: a quick test first, since most texts have none. `\udb40` is the first half of every tag. */
const suspect = new RegExp(`[\\u001b${signs}\\udb40]`);
/** The same in a text with styles (SGR), which stay. */
const style = /(\u001b\[[0-9;]*m)/;
const suspectBesideStyles = new RegExp(`\\u001b(?!\\[[0-9;]*m)|[${signs}\\udb40]`);

/**
 * Text from outside made fit for a terminal: each character that could steer it or that cannot be seen becomes a visible
 * symbol of one column (escape is shown as ␛). Line feeds too: the answer is one line.
 *
 * @example safeText('a\u001b[2Jb') // 'a␛[2Jb'
 */
export function safeText(text: string): string {
  return replaceUnsafe(text, (character) => {
    const code = character.charCodeAt(0);
    if (code < 0x20) return String.fromCharCode(0x2400 + code);
    return code === 0x7f ? '␡' : '�';
  });
}

/** Text with something else for each character that `safeText` shows, told where it stands: for a format with an escape of its own. */
export function replaceUnsafe(
  text: string,
  by: (character: string, at: number, text: string) => string,
): string {
  return suspect.test(text) ? text.replace(unsafe, by) : text;
}

/** `safeText`, but for the sequences that set colour and weight (SGR): for lines that were painted. */
export function safeStyled(text: string): string {
  if (!suspectBesideStyles.test(text)) return text;
  return text
    .split(style)
    .map((part, index) => (index % 2 === 1 ? part : safeText(part)))
    .join('');
}

/** `safeText` of each line: line feeds stay. For documents whose format has escaped what stands within a line. */
export function safeLines(text: string): string {
  return text.split('\n').map(safeText).join('\n');
}

/** Text without the characters that `safeText` shows: for formats that can neither escape nor show them. */
export function bareText(text: string): string {
  return replaceUnsafe(text, () => '');
}

/** Text with those characters as `\uXXXX`, two for one beyond U+FFFF: as JSON and double-quoted YAML read them. */
export function escapedText(text: string): string {
  return replaceUnsafe(text, (character) =>
    Array.from(
      { length: character.length },
      (_, at) => `\\u${character.charCodeAt(at).toString(16).padStart(4, '0')}`,
    ).join(''),
  );
}

/** Whether a text has any such character. */
export function isSafe(text: string): boolean {
  return !suspect.test(text) || text.search(unsafe) < 0;
}

/** Names for a sentence: the first few, and whether there are more. */
export function fewNames(names: readonly string[], most = 8): string {
  const shown = names.slice(0, most).map((name) => safeText(name.slice(0, 40)));
  return names.length > most ? `${shown.join(', ')} and ${names.length - most} more` : shown.join(', ');
}

/** `safeText`, cut to at most `most` characters with an ellipsis: for quoting what was found. */
export function quoted(text: string, most = 40): string {
  const short = [...text].length > most ? [...text].slice(0, most - 1).join('') + '…' : text;
  return `“${safeText(short)}”`;
}
