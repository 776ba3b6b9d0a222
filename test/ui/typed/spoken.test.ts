import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { parseChord } from '../../../src/theory/chord.js';
import { parseKey } from '../../../src/theory/key.js';
import { parseNumber } from '../../../src/theory/number.js';
import { qualities } from '../../../src/theory/quality.js';
import {
  keyWords,
  spokenChord,
  spokenKey,
  spokenLetters,
  spokenNumber,
  spokenQuality,
  spokenWritten,
  withoutKeys,
  writtenNumber,
} from '../../../src/ui/typed/spoken.js';

function good<T>(read: { ok: true; value: T } | { ok: false }): T {
  if (!read.ok) throw new Error('it does not read');
  return read.value;
}

describe('signs as words', () => {
  it.each([
    ['1', '1'],
    ['6-', '6 minor'],
    ['b7', 'flat 7'],
    ['#4o', 'sharp 4 diminished'],
    ['5^7', '5 seventh'],
    ['2-^7', '2 minor seventh'],
    ['4^maj7', '4 major seventh'],
    ['1/5', '1 over 5'],
    ['4/b7', '4 over flat 7'],
  ])('a number: %s', (text, wanted) => {
    expect(spokenNumber(good(parseNumber(text)))).toBe(wanted);
  });

  it.each([
    ['A', 'A'],
    ['Bb', 'B flat'],
    ['F#m', 'F sharp minor'],
    ['D7/A', 'D seventh over A'],
    ['Bbm7b5', 'B flat minor seventh flat 5'],
    ['Gsus4', 'G suspended 4'],
    ['Cadd9', 'C with added ninth'],
    ['E7#9', 'E seventh sharp 9'],
    ['A5', 'A without third'],
  ])('a chord: %s', (text, wanted) => {
    expect(spokenChord(good(parseChord(text)))).toBe(wanted);
    expect(spokenLetters(text)).toBe(wanted);
  });

  it('a key', () => {
    expect(spokenKey(good(parseKey('Eb')))).toBe('E flat');
    expect(spokenKey(good(parseKey('F#m')))).toBe('F sharp minor');
  });

  it.each([
    ['1, 4, 5 and b7', '1, 4, 5 and flat 7'],
    [
      'a minor key: 1-, 4-, 5, 5-, b3, b6 and b7',
      'a minor key: 1 minor, 4 minor, 5, 5 minor, flat 3, flat 6 and flat 7',
    ],
    ['the sevenths 2^7, 3^7 and 6^7', 'the sevenths 2 seventh, 3 seventh and 6 seventh'],
    ['1 b7 6- 5^7', '1 flat 7 6 minor 5 seventh'],
    ['#4o', 'sharp 4 diminished'],
    // What only looks like one.
    ['bars 5-8 in 4/4, a 2-step at 120', 'bars 5-8 in 4/4, a 2-step at 120'],
  ])('the numbers of a text: %s', (text, wanted) => {
    expect(spokenWritten(text)).toBe(wanted);
  });

  it.each([
    ['6 minor', '6-'],
    ['flat 7', 'b7'],
    ['Sharp 4 diminished', '#4o'],
    ['2 seventh', '2^7'],
    ['4', '4'],
    ['6-', '6-'],
    ['nothing of it', 'nothing of it'],
  ])('a number that is written in words: %s', (text, wanted) => {
    expect(writtenNumber(text)).toBe(wanted);
  });

  it('every quality that a chart knows, each otherwise than all others', () => {
    const said = qualities.map(({ id }) => spokenQuality(id));
    for (const text of said) expect(text).toMatch(/^[a-z0-9 ]*$/);
    expect(new Set(said).size).toBe(qualities.length);
  });
});

describe('withoutKeys', () => {
  it.each([
    ['loop: bars 5 to 8; x removes it', 'loop: bars 5 to 8'],
    ['Esc again leaves the set', 'leave, typed again, leaves the set'],
    ['Esc again leaves the band', 'leave, typed again, leaves the band'],
    ['nobody leads now: press B, then l, to lead', 'nobody leads now: lead takes the lead'],
    ['keep tapping, once a beat', 'keep tapping, once a beat: Enter on an empty line'],
    ['3/4; U takes it back', '3/4; undo takes it back'],
    ['key back to Bb, from F#m', 'key back to B flat, from F sharp minor'],
    ['Bb7 back to the planned shape', 'B flat seventh back to the planned shape'],
    ['heard: clean; m if it was not', 'heard: clean; no if it was not'],
    ['key B♭: the family stays', 'key B flat: the family stays'],
    ['late changes in bars 9–12', 'late changes in bars 9 to 12'],
    ['anything else', 'anything else'],
  ])('%s', (text, wanted) => {
    expect(withoutKeys(text)).toBe(wanted);
  });
});

/** Every text within quotes in the sources that make notices. */
const texts = ['../../../src/ui/update', '../../../src/playback'].flatMap((folder) => {
  const path = fileURLToPath(new URL(folder, import.meta.url));
  const files = readdirSync(path, { recursive: true, encoding: 'utf8' }).filter((file) => /\.ts$/.test(file));
  return files.flatMap((file) =>
    [...readFileSync(join(path, file), 'utf8').matchAll(/'([^'\n]+)'|`([^`\n]+)`/g)].map(
      ([, plain, filled]) => plain ?? filled ?? '',
    ),
  );
});

describe('the words for keys', () => {
  it('fit texts that the stand still has, each of them', () => {
    const loops = 'loop: bars 1 to 2; ';
    const all = texts.flatMap((text) => [text, `${loops}${text}`]);
    for (const [key] of keyWords)
      expect(
        all.filter((text) => key.test(text)),
        String(key),
      ).not.toEqual([]);
  });

  it('leave no key in any of them', () => {
    const key =
      /\bEsc\b|\bpress (?:[A-Za-z]|Space)\b|\bCtrl-|\bEnter (?:keeps|again)|[;:,] (?:[b-zB-HJ-Z]) (?:takes|leads|opens|leaves|removes|ends|if|for|and)\b/;
    const named = texts.filter((text) => key.test(text));
    expect(named.length).toBeGreaterThan(10);
    for (const text of named) expect(withoutKeys(text)).not.toMatch(key);
  });
});
