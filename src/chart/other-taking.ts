/**
 * What is meant by a section's text that joins names of other sections by plus signs without saying what it takes of them: `V + 5 1`;
 * `null` for all else.
 *
 * @example otherTaking('V + 5 1', new Set(['V', 't'])) // 'all of V + 5 1'
 */
export function otherTaking(text: string, names: ReadonlySet<string>): string | null {
  const line = text.trim();
  if (line.includes('\n') || line.length > 200 || !/(?:^|\s)\+\s/.test(line)) return null;
  const pieces = line.split('+').map((piece) => piece.trim());
  if (!pieces.some((piece) => names.has(piece))) return null;
  return pieces.map((piece) => (names.has(piece) ? `all of ${piece}` : piece)).join(' + ');
}
