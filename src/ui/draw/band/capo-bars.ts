import type { PlayedBar } from '../../../chart/chart.js';
import type { Capo } from '../../../theory/capo.js';
import { toChord } from '../../../theory/chord.js';
import { type Key, keyName, transposeKey, withSigns } from '../../../theory/key.js';

/*
 * Made once for each pass, not once a frame: with the same bars comes the same list, so that what is laid out from it once holds too. The
 * bars are frozen values, so that the memory of them can be a weak one.
 */
const known = new WeakMap<readonly PlayedBar[], Map<number, readonly PlayedBar[]>>();

/** The bars of a pass with the letters that are played behind a capo in place of those that sound. Keys stay as they sound. */
export function capoBars(bars: readonly PlayedBar[], fret: number): readonly PlayedBar[] {
  if (fret === 0) return bars;
  const frets = known.get(bars) ?? new Map<number, readonly PlayedBar[]>();
  known.set(bars, frets);
  const made = frets.get(fret) ?? bars.map((bar) => capoBar(bar, fret));
  frets.set(fret, made);
  return made;
}

function capoBar(bar: PlayedBar, fret: number): PlayedBar {
  const shapes = transposeKey(bar.key, -fret);
  return {
    ...bar,
    cells: bar.cells.map((cell) => ({ ...cell, chord: cell.number && toChord(cell.number, shapes) })),
  };
}

/**
 * What a capo gives where a key sounds, beside the capo's own: a song may go elsewhere while it stays.
 *
 * @example capoText(capoAt(a, 2), a, true) // 'capo 2, plays as G (key A)'
 */
export function capoText({ fret }: Pick<Capo, 'fret'>, key: Key, unicode: boolean): string {
  const name = (one: Key): string => (unicode ? withSigns(keyName(one)) : keyName(one));
  if (fret === 0) return `no capo, plays in ${name(key)}`;
  return `capo ${fret}, plays as ${name(transposeKey(key, -fret))} (key ${name(key)})`;
}
