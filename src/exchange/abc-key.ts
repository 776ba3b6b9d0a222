import { keyInMode, modeNamed, type ReadKey } from './modes.js';

/** What a `K:` field says: a key, none, or only how the melody is written; and what of it is not read. */
export interface AbcKey {
  /** `null` where the field names no key; `'open'` where it says that there is none. */
  readonly read: ReadKey | 'open' | null;
  readonly left: readonly string[];
}

const clefs = [
  'treble',
  'bass',
  'alto',
  'tenor',
  'perc',
  'soprano',
  'mezzosoprano',
  'baritone',
  'auto',
  'none',
];

/**
 * Reads a `K:` field (ABC 2.1, 3.1.14 and 4.6): a tonic, a mode, then accidentals, clef and transposition, which concern the
 * melody. `null` when it is none.
 *
 * @example readAbcKey('D mix clef=bass')
 */
export function readAbcKey(text: string): AbcKey | null {
  // The pipes' scale has no signature that is a key's.
  if (/^(?:none|HP|Hp)?$/.test(text.trim())) return { read: 'open', left: [] };
  const [, tonic, behind = ''] = /^([A-G][#b]?)(?![a-z]*=)(.*)$/.exec(text.trim()) ?? [];
  const words = (tonic === undefined ? text : behind).trim().split(/\s+/).filter(Boolean);
  const [first = ''] = words;
  const mode = tonic === undefined ? null : modeNamed(first);
  const left = (mode === null ? words : words.slice(1)).flatMap(leftOf);
  if (tonic !== undefined) {
    const read = keyInMode(tonic, mode ?? 'major');
    return read && { read, left };
  }
  // Only a clef and what belongs to it: the key goes on.
  return left.some((one) => one.startsWith('“')) ? null : { read: null, left };
}

/** What a word behind the key is, where that is to be told. */
function leftOf(word: string): readonly string[] {
  if (/^(?:transpose|score|sound|shift|instrument)=/.test(word))
    return ['a transposition: chords stand as they are written'];
  if (word === 'exp' || /^(?:\^|_|=)/.test(word)) return ['accidentals of the signature’s own'];
  if (word.includes('=') || clefs.includes(word.replace(/[0-9+-]+$/, ''))) return [];
  return [`“${word.slice(0, 20)}” behind the key`];
}
