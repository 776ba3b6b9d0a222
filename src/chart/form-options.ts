import { nearest } from '../base/nearest.js';
import { quoted } from '../base/safe-text.js';
import type { FormEntry, Place } from './chart.js';
import type { Faults } from './fault.js';
import { type BassLine, bassWords, isBassLine, isLevel, type Level, levelWords } from './level.js';

/** What stands in the brackets of an entry of the form. */
export type FormOptions = Pick<FormEntry, 'who' | 'pattern' | 'level' | 'bass'>;

/**
 * Reads what stands in the brackets of an entry, without them: `banjo`, `me: ring`, `soft`, `banjo, up`, `: ring, soft,
 * walk`. Of its parts between commas the words for levels and for the bass are taken out; what is left says who leads
 * and by which pattern. A lower-case word that is nearly one of them is told.
 */
export function readFormOptions(text: string, place: Place, faults: Faults): FormOptions {
  const parts = text.split(',').map((part) => part.trim());
  const levels = parts.filter(isLevel);
  const basses = parts.filter(isBassLine);
  const rest = parts.filter((part) => !isLevel(part) && !isBassLine(part));
  oneOf(levels, 'is as loud as one word says', levelWords, place, faults);
  oneOf(basses, 'has a bass that one word says', bassWords, place, faults);
  // Without such words the text stays as it was written, with its commas.
  const [who = '', pattern = ''] = (rest.length === parts.length ? text : rest.join(', '))
    .split(':')
    .map((one) => one.trim());
  tellNear(who, place, faults);
  return { who: who || null, pattern: pattern || null, ...optional(levels[0], basses[0]) };
}

/** Fields that are there only where the chart has them. */
function optional(level: Level | undefined, bass: BassLine | undefined): Pick<FormEntry, 'level' | 'bass'> {
  return { ...(level ? { level } : {}), ...(bass ? { bass } : {}) };
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
    `here stand ${found.map((word) => quoted(word)).join(' and ')}; a part of the form ${what}: ${words.join(', ')}`,
  );
}

/** Somebody called “sfot” can lead, but more likely a level was meant. */
function tellNear(who: string, place: Place, faults: Faults): void {
  for (const word of who.split(',').map((one) => one.trim())) {
    const near = /^[a-z]+$/.test(word) ? nearest(word, [...levelWords, ...bassWords]) : null;
    if (near === null) continue;
    faults.warning(
      place,
      `${quoted(word)} is read as who leads; did you mean ${quoted(near)}? Levels are ${levelWords.join(', ')}, the bass is ${bassWords.join(' or ')}`,
    );
  }
}
