/** A line of bash as far as it is typed. */
export interface BashLine {
  /** Its words without quotes and escapes; the last is the one that is being typed, and may be empty. */
  readonly words: readonly string[];
  /** The part of the last word before its last break (a colon, an equals sign): bash puts what is chosen after it. */
  readonly kept: string;
}

/**
 * Reads a line of bash: words, quotes and escapes, as its manual has them under QUOTING. Variables and the like stay as they are written.
 *
 * @param breaks the characters at which bash breaks words for completion, COMP_WORDBREAKS
 */
export function readBashLine(line: string, breaks: string): BashLine {
  const words: string[] = [];
  let word = '';
  let isWord = false;
  let kept = '';
  let quote = '';
  for (let at = 0; at < line.length; at += 1) {
    const sign = line[at] as string;
    const next = line[at + 1] ?? '';
    if (quote === "'") {
      if (sign === quote) quote = '';
      else word += sign;
    } else if (sign === '\\' && (quote === '' || /["\\$`]/.test(next))) {
      word += next;
      isWord = true;
      at += 1;
    } else if (quote === '"') {
      if (sign === quote) quote = '';
      else word += sign;
    } else if (sign === '"' || sign === "'") {
      quote = sign;
      isWord = true;
      // While the quote is open, what is chosen goes after it.
      if (isOpen(line, at)) kept = word;
    } else if (/\s/.test(sign)) {
      if (isWord) words.push(word);
      word = '';
      kept = '';
      isWord = false;
    } else {
      word += sign;
      isWord = true;
      if (':='.includes(sign) && breaks.includes(sign)) kept = word;
    }
  }
  return { words: [...words, word], kept };
}

/** Whether a quote that begins at a place is still open at the end. */
function isOpen(line: string, at: number): boolean {
  const quote = line[at];
  for (let end = at + 1; end < line.length; end += 1) {
    if (line[end] === '\\' && quote === '"') end += 1;
    else if (line[end] === quote) return false;
  }
  return true;
}
