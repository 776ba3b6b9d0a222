import type { KeyFamily } from './family.js';

/**
 * What a change of key does to the family, in words: whether it stays, and how far the shape of the 1 moves.
 *
 * @example familyChange(familyOf(a, mandolin), familyOf(bFlat, mandolin)) // 'the four-finger family stays, one fret toward the bridge'
 */
export function familyChange(from: KeyFamily, to: KeyFamily): string {
  if (from.name === null || to.name === null) return 'no family is known for it on this instrument';
  if (from.name !== to.name) return `from the ${from.name} to the ${to.name} family`;
  const low = ({ one }: KeyFamily): number =>
    Math.min(...((one.fingering?.frets.filter((at) => at !== null) ?? []) as number[]));
  const frets = low(to) - low(from);
  const way =
    frets === 0
      ? 'the same frets'
      : `${Math.abs(frets)} ${Math.abs(frets) === 1 ? 'fret' : 'frets'} toward the ${frets > 0 ? 'bridge' : 'nut'}`;
  return `the ${to.name} family stays, ${way}`;
}
