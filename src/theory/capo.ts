import { type Key, majorTonics, minorTonics, transposeKey } from './key.js';

/** A capo on a guitar or banjo: the fret, and the key whose shapes are played behind it. */
export interface Capo {
  readonly fret: number;
  readonly shapes: Key;
  /** Fret of the banjo's own capo for its fifth string, counted from the nut; `null` when it is played open. */
  readonly fifthString: number | null;
}

/** The highest fret a capo is put at (common practice). */
export const highestCapo = 9;

/** Keys whose open shapes guitars and banjos like to play, and the minor ones of the same shapes (common practice). */
const openShapes = { major: ['G', 'C', 'D'], minor: ['Em', 'Am', 'Bm'] } as const;

/**
 * What is played behind a capo at a fret so that a key sounds.
 *
 * @example capoAt({ tonic: 'A', mode: 'major' }, 2) // shapes of G, the banjo's fifth string at fret 7
 */
export function capoAt(key: Key, fret: number): Capo {
  const shapes = transposeKey(key, -fret);
  return { fret, shapes, fifthString: fifthStringFret(shapes, fret) };
}

/** The lowest capo that gives shapes of G, C or D (in minor E, A or B minor). */
export function autoCapo(key: Key): Capo {
  for (let fret = 0; fret <= highestCapo; fret += 1) {
    const capo = capoAt(key, fret);
    const name = key.mode === 'minor' ? `${capo.shapes.tonic}m` : capo.shapes.tonic;
    if ((openShapes[key.mode] as readonly string[]).includes(name)) return capo;
  }
  return capoAt(key, 0);
}

/**
 * The fifth string starts at fret 5, tuned g, and goes up with the capo; for shapes of D, to which g does
 * not belong, it is raised to a, two frets more (common practice).
 */
function fifthStringFret(shapes: Key, fret: number): number | null {
  const raise = fret + (shapes.tonic === 'D' && shapes.mode === 'major' ? 2 : 0);
  return raise === 0 ? null : 5 + raise;
}

/** Every key of a mode by its usual name, from C upward. */
export function usualKeys(mode: Key['mode']): readonly Key[] {
  return (mode === 'minor' ? minorTonics : majorTonics).map((tonic) => ({ tonic, mode }));
}
