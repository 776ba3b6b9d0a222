import { quoted } from '../base/safe-text.js';
import { parseChord } from '../theory/chord.js';
import type { Key } from '../theory/key.js';
import { otherWriting } from './other-writings.js';

/**
 * What is meant by a word of a letter sheet that cannot be read, as a sentence; `null` where that is not known.
 *
 * @example otherLetters('C...', key) // '“C...”: write a dot after the chord for each further beat: “C . . .”'
 */
export function otherLetters(word: string, key: Key): string | null {
  const meant = meantBy(word);
  if (meant !== null) return `${quoted(word)}: ${meant}`;
  const other = otherWriting(word, { kind: 'letters', key });
  // Only some of what a chart can have is read in a letter sheet.
  const reads = other?.meant.every((writing) => /^(?:=|nc)$/.test(writing) || isChord(writing));
  return other && reads ? other.says : null;
}

/** Whether a word is a chord in another notation. */
export function isOtherChord(word: string): boolean {
  return meantBy(word) !== null;
}

function meantBy(word: string): string | null {
  const [, beaten = '', beats = ''] = /^([^./]+)(\.+|\/+)$/.exec(word) ?? [];
  if (isChord(beaten)) {
    const sign = beats[0] ?? '';
    const spaced = [beaten, ...beats].join(' ');
    if (sign === '.') return `write a dot after the chord for each further beat: “${spaced}”`;
    const fewer = [beaten, ...beats.slice(1)].join(' ');
    return `write a slash after the chord for each further beat: “${spaced}”, or “${fewer}” if the first slash is the chord’s own beat`;
  }
  const rings = /^(?:<([^<>]+)>|[◇◆◊♢]([^<>]+))$/u.exec(word)?.slice(1).find(isChord);
  if (rings)
    return `write the chord alone, “${rings}”; ringing is marked in the chart itself, after the number: “1~”`;
  const [, held = '', note = ''] = /^([^()]+)\((.*)\)$/.exec(word) ?? [];
  if (isChord(held) && /^(?:hold|held|fermata)$/i.test(note))
    return `write the chord alone, “${held}”; holding is marked in the chart itself, after the number: “1_”`;
  const [, stopped = ''] = /^(.+)[!*]$/.exec(word) ?? [];
  if (isChord(stopped))
    return `write the chord alone, “${stopped}”; stopping is marked in the chart itself, after the number: “1!”`;
  const times = /^\(?(?:x(\d{1,2})|(\d{1,2})x)\)?$/i
    .exec(word)
    ?.slice(1)
    .find((one) => one !== undefined);
  if (times) return `write at the end of a line how often it is played: “x${times}”`;
  const comma = /^(.+)[,;]$/.exec(word)?.[1] ?? '';
  if (isChord(comma)) return `write only a space between chords: “${comma}”`;
  return null;
}

function isChord(text: string): boolean {
  return text !== '' && parseChord(text).ok;
}

/** Chords in square brackets within words: a sentence that says how to write them, or `null` where there are none. */
export function chordsInWords(line: string): string | null {
  const chords = [...line.matchAll(/\[([^[\]]{1,12})\]/g)].map(([, chord = '']) => chord);
  if (chords.length === 0 || !chords.every(isChord)) return null;
  return `chords in brackets among lyrics are not read; write them on a line above the words: “${chords.join(' ')}”`;
}
