import { signatureOfFifths } from '../chart/tune/tune-pitch.js';
import { fifthsInMode, keyInMode, modeNamed, type ReadKey } from './modes.js';

/** What a `K:` field says: a key, none, or only how the melody is written; and the parts of it that are not read. */
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
  // The scale of bagpipes has no key signature.
  if (/^(?:none|HP|Hp)?$/.test(text.trim())) return { read: 'open', left: [] };
  const [, tonic, behind = ''] = /^([A-G][#b]?)(?![a-z]*=)(.*)$/.exec(text.trim()) ?? [];
  const words = wordsOf(tonic === undefined ? text : behind);
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

/** The words of a field; accidentals may stand without spaces, `K:C^f^c^a`. */
function wordsOf(text: string): readonly string[] {
  return text
    .replace(/(?:\^{1,2}|_{1,2}|=)[A-Ga-g](?![A-Za-z])/g, ' $& ')
    .trim()
    .split(/\s+/)
    .filter(Boolean);
}

/** What a word after the key is, if that should be reported. */
function leftOf(word: string): readonly string[] {
  if (/^(?:transpose|score|sound|shift|instrument)=/.test(word))
    return ['a transposition: chords are kept as written'];
  if (word === 'exp' || /^(?:\^|_|=)/.test(word))
    return ['accidentals added to the key signature; the notes have them'];
  if (word.includes('=') || clefs.includes(word.replace(/[0-9+-]+$/, ''))) return [];
  return [`“${word.slice(0, 20)}” after the key`];
}

/**
 * What a `K:` field's signature does to each letter from C on, in half steps: that of its mode, with accidentals of its own
 * (ABC 2.1, 3.1.14). `null` where it says nothing of the signature. The pipes' scale sounds with F and C sharp.
 */
export function abcSignature(text: string): readonly number[] | null {
  const trimmed = text.trim();
  if (/^(?:none)?$/.test(trimmed)) return signatureOfFifths(0);
  if (/^H[Pp]/.test(trimmed)) return signatureOfFifths(2);
  const [, tonic, behind = ''] = /^([A-G][#b]?)(?![a-z]*=)(.*)$/.exec(trimmed) ?? [];
  if (tonic === undefined) return null;
  const words = wordsOf(behind);
  const own = words.includes('exp');
  const fifths = own ? 0 : fifthsInMode(tonic, modeNamed(words[0] ?? '') ?? 'major');
  const signature = [...signatureOfFifths(Math.max(-7, Math.min(7, fifths)))];
  for (const word of words) {
    const [, sign = '', letter = ''] = /^(\^{1,2}|_{1,2}|=)([A-Ga-g])$/.exec(word) ?? [];
    const alter = { '^': 1, '^^': 2, _: -1, __: -2, '=': 0 }[sign];
    if (alter !== undefined) signature['CDEFGAB'.indexOf(letter.toUpperCase())] = alter;
  }
  return signature;
}
