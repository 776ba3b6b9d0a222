import { noteName } from '../theory/pitch.js';
import type { Instrument } from './instrument.js';

const byPitch: Readonly<Record<number, readonly string[]>> = {
  2: ['low', 'high'],
  3: ['low', 'middle', 'high'],
};
const ordinals = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth'];

/**
 * What a player calls each course, bass side first: the note it is tuned to. Where courses share a letter, `low G` and
 * `high G`; where pitch does not tell them apart either, by place from the bass side: `second G`.
 *
 * @example courseNames(mandolin) // ['G', 'D', 'A', 'E']
 */
export function courseNames({ courses }: Pick<Instrument, 'courses'>): readonly string[] {
  const letters = courses.map(({ open }) => noteName(open));
  return courses.map(({ open: own }, course) => {
    const letter = letters[course] as string;
    const alike = courses.flatMap(({ open }, other) => (letters[other] === letter ? [open] : []));
    if (alike.length === 1) return letter;
    const pitches = [...new Set(alike)].sort((one, other) => one - other);
    const words = pitches.length === alike.length ? byPitch[alike.length] : undefined;
    if (words) return `${words[pitches.indexOf(own)]} ${letter}`;
    const place = letters.slice(0, course + 1).filter((one) => one === letter).length;
    return `${ordinals[place - 1] ?? `${place}th`} ${letter}`;
  });
}

/** Whether each course is tuned higher than the one before it: then bass side and treble side say where a course lies. */
export function risesInPitch({ courses }: Pick<Instrument, 'courses'>): boolean {
  return courses.every(({ open }, course) => course === 0 || open > (courses[course - 1]?.open ?? 0));
}
