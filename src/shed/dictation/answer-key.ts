import type { Key } from '../../theory/key.js';
import { numberText, parseNumber } from '../../theory/number.js';
import { quality } from '../../theory/quality.js';

/** The chord that a digit is for where the level has none on that degree: those of the key, and b7 (common practice). */
const usual: Readonly<Record<Key['mode'], readonly string[]>> = {
  major: ['1', '2-', '3-', '4', '5', '6-', 'b7'],
  minor: ['1-', '2-', 'b3', '4-', '5', 'b6', 'b7'],
};

/** The chords of a level on a degree, in the order in which its digit names them. */
export function onDegree(numbers: readonly string[], degree: number): readonly string[] {
  return numbers.filter((text) => {
    const read = parseNumber(text);
    return read.ok && read.value.degree === degree;
  });
}

/**
 * The chord that a digit from 1 to 7 names: the level's own on that degree, so that no other key is needed. Where the level has
 * two there, the digit pressed once more names the other one. `before`: the answer that it takes the place of.
 */
export function numberByDigit(
  numbers: readonly string[],
  mode: Key['mode'],
  degree: number,
  before: string | null = null,
): string {
  const here = onDegree(numbers, degree);
  const at = before === null ? -1 : here.indexOf(before);
  return here[(at + 1) % Math.max(1, here.length)] ?? (usual[mode][degree - 1] as string);
}

/** An answer made minor, or a seventh; or no longer where it is that already. */
export function turnedTo(answer: string, way: 'minor' | 'seventh'): string {
  const read = parseNumber(answer);
  if (!read.ok) return answer;
  const { value } = read;
  const to = way === 'minor' ? 'minor' : '7';
  return numberText({ ...value, quality: value.quality === to ? 'major' : to });
}

/**
 * Whether an answer is the chord: the same root and the same triad. A seventh more or less is the same chord, as it is for the
 * ear that hears the instrument; so is another note in the bass.
 */
export function isSameChord(one: string, other: string): boolean {
  const [first, second] = [parseNumber(one), parseNumber(other)];
  if (!first.ok || !second.ok) return one === other;
  const [a, b] = [first.value, second.value];
  return a.degree === b.degree && a.alter === b.alter && triad(a.quality) === triad(b.quality);
}

/** The triad of a quality: its half steps up to the fifth. */
function triad(id: string): string {
  return quality(id)
    .steps.filter((step) => step <= 8)
    .join();
}

/** A typed answer, `6-` or `b7`; a digit alone is what that digit's key is. `null` where it is not a number. */
export function typedAnswer(text: string, numbers: readonly string[], mode: Key['mode']): string | null {
  const plain = text.trim().replaceAll('♭', 'b').replaceAll('♯', '#');
  if (/^[1-7]$/.test(plain)) return numberByDigit(numbers, mode, Number(plain));
  const read = parseNumber(plain);
  return read.ok ? numberText(read.value) : null;
}
