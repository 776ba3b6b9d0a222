import { type FifthString, fifthString } from './fifth-string.js';
import { type Key, keyName, majorTonics, minorTonics, transposeKey } from './key.js';

/** A capo on a guitar or banjo: the fret, the key whose shapes are played after it, and the banjo's fifth string. */
export interface Capo {
  readonly fret: number;
  readonly shapes: Key;
  readonly fifthString: FifthString;
}

/** The highest fret a capo is put at (common practice). */
export const highestCapo = 9;

/** Keys whose open shapes guitars and banjos like to play (common practice). */
const openShapes = { major: ['G', 'C', 'D'], minor: ['E', 'A'] } as const;

/**
 * What is played after a capo at a fret so that a key sounds.
 *
 * @example capoAt({ tonic: 'A', mode: 'major' }, 2) // shapes of G, the banjo's fifth string at fret 7
 */
export function capoAt(key: Key, fret: number): Capo {
  const shapes = transposeKey(key, -fret);
  return { fret, shapes, fifthString: fifthString(shapes, key, fret) };
}

/** The lowest capo that gives shapes of G, C or D, in minor of E minor or A minor: never above fret 6. */
export function autoCapo(key: Key): Capo {
  for (let fret = 0; fret <= highestCapo; fret += 1) {
    const capo = capoAt(key, fret);
    if ((openShapes[key.mode] as readonly string[]).includes(capo.shapes.tonic)) return capo;
  }
  return capoAt(key, 0);
}

/**
 * What is played in another key while a capo stands at a fret: shapes after it, and where the capo would go for the usual ones.
 *
 * @example capoElsewhere({ tonic: 'A', mode: 'major' }, 0) // 'shapes of A there, or capo 2 with shapes of G'
 */
export function capoElsewhere(key: Key, fret: number): string {
  const there = `shapes of ${keyName(transposeKey(key, -fret))} there`;
  const usual = autoCapo(key);
  if (usual.fret === fret) return there;
  return `${there}, or ${usual.fret === 0 ? 'no capo' : `capo ${usual.fret}`} with shapes of ${keyName(usual.shapes)}`;
}

/** Every key of a mode by its usual name, from C upward. */
export function usualKeys(mode: Key['mode']): readonly Key[] {
  return (mode === 'minor' ? minorTonics : majorTonics).map((tonic) => ({ tonic, mode }));
}
