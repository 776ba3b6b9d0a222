import { createHash, randomInt, timingSafeEqual } from 'node:crypto';
import { good, misread, type Outcome } from '../base/outcome.js';
import { isSafe } from '../base/safe-text.js';

/** A word with fewer characters than this, not counting hyphens and spaces, could be guessed. */
export const leastCharacters = 8;
const mostCharacters = 64;

/*
 * Syllables that are told apart across a stage in most languages and typed on any keyboard: a consonant and an open vowel. `e` is
 * left out, which English says like `i`; of letters that sound alike at the beginning of a syllable, such as p and b or f and s, only one is there.
 */
const consonants = [...'bdklmnrstv'];
const vowels = [...'aiou'];
const syllables = consonants.flatMap((consonant) => vowels.map((vowel) => consonant + vowel));

/** What a word is drawn from: two syllables that differ, `kola`. */
const pairs = syllables.flatMap((one) =>
  syllables.filter((other) => other !== one).map((other) => one + other),
);
const pairsInWord = 4;

/** How hard a made word is to guess, bits: all are equally likely. */
export const wordBits = pairsInWord * Math.log2(pairs.length);

/**
 * Makes a word to join by: four pairs of syllables, `kola-tiru-bamo-sidu`.
 *
 * @param draw a number from 0 up to, not including, the one given; without it the system's cryptographic source
 */
export function makeWord(draw: (below: number) => number = randomInt): string {
  return Array.from({ length: pairsInWord }, () => pairs[draw(pairs.length)]).join('-');
}

/**
 * Reads a word as it was typed or said: capitals, hyphens and spaces make no difference. The value is what keys are made of, not what is shown.
 * A word that could be guessed is a fault: the call's.
 */
export function readWord(text: string): Outcome<string> {
  if (!isSafe(text))
    return misread('the word has characters that cannot be seen; write letters, digits and hyphens');
  const word = text.normalize('NFKC').toLowerCase().replace(/[\s-]/gu, '');
  const length = [...word].length;
  if (length < leastCharacters)
    return misread(
      `a word of ${length} characters could be guessed; write at least ${leastCharacters}, or leave it out and one is made`,
    );
  if (length > mostCharacters)
    return misread(`a word of ${length} characters is too long; write at most ${mostCharacters}`);
  if (new Set(word).size < 4)
    return misread('a word of so few different characters could be guessed; write another');
  return good(word);
}

/** Whether two secrets are the same, in a time that does not tell how much of them is. */
export function sameSecret(one: Uint8Array, other: Uint8Array): boolean {
  // Digests have the same length, which is what the comparison asks for, whatever was sent.
  const digest = (bytes: Uint8Array): Buffer => createHash('sha256').update(bytes).digest();
  return timingSafeEqual(digest(one), digest(other));
}
