import type { Key } from '../../theory/key.js';
import type { NumberChord } from '../../theory/number.js';

/** 1, 4 or 5 of a key as a chord: in minor 1 and 4 are minor, and 5 is major as it leads home (common practice). */
export function chordOf(key: Pick<Key, 'mode'>, degree: 1 | 4 | 5): NumberChord {
  const quality = key.mode === 'minor' && degree !== 5 ? 'minor' : 'major';
  return { degree, alter: 0, quality, bass: null };
}
