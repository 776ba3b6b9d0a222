/**
 * A word with its indefinite article, by its first letter.
 *
 * @example withArticle('output') // 'an output'
 */
export function withArticle(words: string): string {
  return `${/^[aeio]/i.test(words) ? 'an' : 'a'} ${words}`;
}
