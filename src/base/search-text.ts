/** Text as it is searched: small letters without accents; the signs of flat and sharp as they are typed. */
export function searchText(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/♭/g, 'b')
    .replace(/♯/g, '#')
    .replace(/[‘’]/g, "'");
}

/** Whether a word of the text begins at `start`. The text is one that `searchText` made. */
export function beginsWord(text: string, start: string): boolean {
  for (let at = text.indexOf(start); at >= 0; at = text.indexOf(start, at + 1))
    if (at === 0 || !/[\p{L}\p{N}#]/u.test(text[at - 1] as string)) return true;
  return false;
}
