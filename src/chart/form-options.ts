import { nearest } from '../base/nearest.js';
import { quoted } from '../base/safe-text.js';
import type { Key } from '../theory/key.js';
import type { FormEntry, Place } from './chart.js';
import type { Faults } from './fault.js';
import { type KeyTarget, parseTargetKey } from './key-target.js';
import { type BassLine, bassWords, isBassLine, isLevel, type Level, levelWords } from './level.js';
import { otherKey, otherOption } from './other-options.js';

/** What stands in the brackets of an entry of the form. */
export type FormOptions = Pick<FormEntry, 'who' | 'pattern' | 'level' | 'bass' | 'key'>;

/**
 * Reads what stands in the brackets of an entry, without them: `banjo`, `me: ring`, `soft`, `banjo, up`, `: ring, soft,
 * walk`, `banjo, key D`. Of its parts between commas the words for levels and for the bass and the key are taken out; what
 * is left says who leads and by which pattern. A lower-case word that is nearly one of them is reported. A key is meant while the
 * song is in a `home` key; where that is not known yet, `null`, it is as written.
 */
export function readFormOptions(text: string, place: Place, faults: Faults, home: Key | null): FormOptions {
  const parts = text.split(',').map((part) => part.trim());
  const levels = parts.filter(isLevel);
  const basses = parts.filter(isBassLine);
  const keys = parts.filter(isKeyPart);
  const rest = parts.filter((part) => !isLevel(part) && !isBassLine(part) && !isKeyPart(part));
  oneOf(levels, 'has only one level', levelWords, place, faults);
  oneOf(basses, 'has only one word for the bass', bassWords, place, faults);
  const key = keys.length > 0 ? readKeyPart(keys, place, faults) : null;
  // Without such words the text stays as it was written, with its commas.
  const [who = '', pattern = ''] = (rest.length === parts.length ? text : rest.join(', '))
    .split(':')
    .map((one) => one.trim());
  tellNear(who, place, faults);
  const other = pattern === '' ? null : otherKey(pattern);
  if (other !== null) faults.warning(place, `${quoted(pattern)} is read as a pattern; ${other}`);
  const target: KeyTarget | null = key && { key, home: home ?? key };
  return {
    who: who || null,
    pattern: pattern || null,
    ...optional(levels[0], basses[0]),
    ...(target ? { key: target } : {}),
  };
}

/** Fields that are present only if the chart has them. */
function optional(level: Level | undefined, bass: BassLine | undefined): Pick<FormEntry, 'level' | 'bass'> {
  return { ...(level ? { level } : {}), ...(bass ? { bass } : {}) };
}

/** `key D`; `key` alone, or with a sign after it, was meant as one. */
function isKeyPart(part: string): boolean {
  return /^key(?:[\s=:]|$)/i.test(part);
}

function readKeyPart(parts: readonly string[], place: Place, faults: Faults): Key | null {
  const [first = '', ...more] = parts;
  if (more.length > 0) {
    faults.error(
      place,
      `there is more than one key here: ${parts.map((part) => quoted(part)).join(' and ')}; a part of the form is in one key, as in “key D”`,
    );
    return null;
  }
  const name = first.slice(3).replace(/^[\s=:]+/, '');
  if (name === '') {
    faults.error(place, '“key” does not name a key; write it after the word, as in “key D” or “key F#m”');
    return null;
  }
  const key = parseTargetKey(name);
  if (key.ok) return key.value;
  faults.error(place, otherKey(name) ?? key.fault.message);
  return null;
}

function oneOf(
  found: readonly string[],
  what: string,
  words: readonly string[],
  place: Place,
  faults: Faults,
): void {
  if (found.length < 2) return;
  faults.error(
    place,
    `there is too much here: ${found.map((word) => quoted(word)).join(' and ')}; a part of the form ${what}: ${words.join(', ')}`,
  );
}

/** Somebody called “sfot” can lead, but more likely a level was meant; and nobody is called “in D”. */
function tellNear(who: string, place: Place, faults: Faults): void {
  for (const word of who.split(',').map((one) => one.trim())) {
    const meant = otherOption(word);
    if (meant !== null) {
      faults.warning(place, `${quoted(word)} is read as who leads; ${meant}`);
      continue;
    }
    const near = /^[a-z]+$/.test(word) ? nearest(word, [...levelWords, ...bassWords]) : null;
    if (near === null) continue;
    faults.warning(
      place,
      `${quoted(word)} is read as who leads; did you mean ${quoted(near)}? Levels are ${levelWords.join(', ')}, the bass is ${bassWords.join(' or ')}`,
    );
  }
}
