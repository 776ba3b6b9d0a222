import { quoted } from '../base/safe-text.js';
import { parseChord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { otherWriting } from './other-writings.js';

/**
 * What is meant by a word of a letter sheet that cannot be read, as a sentence; `null` where that is not known.
 *
 * @example otherLetters('C...', key) // '“C...”: each further beat is a dot of its own behind the chord: “C . . .”'
 */
export function otherLetters(word: string, key: Key): string | null {
  const meant = meantBy(word);
  if (meant !== null) return `${quoted(word)}: ${meant}`;
  const other = otherWriting(word, { kind: 'letters', key });
  // Of what is written so in a chart only some is read in a letter sheet.
  const reads = other?.meant.every((writing) => /^(?:=|nc)$/.test(writing) || isChord(writing));
  return other && reads ? other.says : null;
}

/** Whether a word is a chord in another writing. */
export function isOtherChord(word: string): boolean {
  return meantBy(word) !== null;
}

function meantBy(word: string): string | null {
  const [, beaten = '', beats = ''] = /^([^./]+)(\.+|\/+)$/.exec(word) ?? [];
  if (isChord(beaten)) {
    const sign = beats[0] ?? '';
    const spaced = [beaten, ...beats].join(' ');
    if (sign === '.') return `each further beat is a dot of its own behind the chord: “${spaced}”`;
    const fewer = [beaten, ...beats.slice(1)].join(' ');
    return `each further beat is a slash of its own behind the chord: “${spaced}”, or “${fewer}” where the first slash is the chord’s own beat`;
  }
  const rings = /^(?:<([^<>]+)>|[◇◆◊♢]([^<>]+))$/u.exec(word)?.slice(1).find(isChord);
  if (rings)
    return `write the chord alone, “${rings}”; that it rings stands in the chart itself, behind its number: “1~”`;
  const [, held = '', note = ''] = /^([^()]+)\((.*)\)$/.exec(word) ?? [];
  if (isChord(held) && /^(?:hold|held|fermata)$/i.test(note))
    return `write the chord alone, “${held}”; that it is held stands in the chart itself, behind its number: “1_”`;
  const [, stopped = ''] = /^(.+)[!*]$/.exec(word) ?? [];
  if (isChord(stopped))
    return `write the chord alone, “${stopped}”; a chord that is stopped stands in the chart itself, as “1!”`;
  const times = /^\(?(?:x(\d{1,2})|(\d{1,2})x)\)?$/i
    .exec(word)
    ?.slice(1)
    .find((one) => one !== undefined);
  if (times) return `how often a line is played stands at its end: “x${times}”`;
  const comma = /^(.+)[,;]$/.exec(word)?.[1] ?? '';
  if (isChord(comma)) return `chords have only a space between them: “${comma}”`;
  return null;
}

function isChord(text: string): boolean {
  return text !== '' && parseChord(text).ok;
}

/** Chords in square brackets within words: a sentence that says how to write them, or `null` where there are none. */
export function chordsInWords(line: string): string | null {
  const chords = [...line.matchAll(/\[([^[\]]{1,12})\]/g)].map(([, chord = '']) => chord);
  if (chords.length === 0 || !chords.every(isChord)) return null;
  return `chords in brackets within words are not read; write them on a line above the words: “${chords.join(' ')}”`;
}
