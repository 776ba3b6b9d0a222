/**
 * A file name made from a title: small letters without accents, figures, dashes.
 *
 * @example fileNameOf('Osier & Twine') // 'osier-twine'
 */
export function fileNameOf(title: string): string {
  const plain = title
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '');
  return plain.slice(0, 60) || 'chart';
}
