import { type NumberChord, numberText, parseNumber } from '../../theory/number.js';
import { qualities } from '../../theory/quality.js';

/** The most numbers that are looked for in a row: one bit each. */
export const mostNumbers = 30;

/** What one chord of a run must be. */
type Test = (number: NumberChord) => boolean;

/**
 * Reads a number that is typed in a search; `null` if it is not a number. Only the degree is asked for, and whether the third below it
 * is major, minor, diminished or augmented; with a caret exactly that chord, with a slash that bass.
 */
export function askedNumber(text: string): NumberChord | null {
  const read = parseNumber(text);
  return read.ok ? read.value : null;
}

/** Whether songs' runs (`SongFacts.runs`) have the numbers in a row, however long each lasts. */
export function runFinder(numbers: readonly NumberChord[]): (runs: readonly string[]) => boolean {
  // What is typed twice in a row is one chord that goes on.
  const wanted = numbers
    .filter((one, at) => at === 0 || numberText(one) !== numberText(numbers[at - 1] as NumberChord))
    .slice(0, mostNumbers);
  const tests = wanted.map(testOf);
  const known = new Map<string, number>();
  const last = 1 << (wanted.length - 1);
  /** A bit for each number that was typed, set where the chord fits it. */
  const fitting = (chord: string): number => {
    const before = known.get(chord);
    if (before !== undefined) return before;
    const read = parseNumber(chord);
    const bits = read.ok ? tests.reduce((all, test, at) => (test(read.value) ? all | (1 << at) : all), 0) : 0;
    known.set(chord, bits);
    return bits;
  };
  return (runs) =>
    runs.some((run) => {
      // A bit for each number up to which all were met by the chords just before.
      let met = 0;
      for (const chord of run.split(' ')) {
        met = (met | (met << 1) | 1) & fitting(chord);
        if (met & last) return true;
      }
      return false;
    });
}

function testOf({ degree, alter, quality, bass }: NumberChord): Test {
  const family = familyOf(quality);
  const isExact = markOf(quality).includes('^');
  return (other) =>
    other.degree === degree &&
    other.alter === alter &&
    (isExact ? other.quality === quality : familyOf(other.quality) === family) &&
    (bass === null || (other.bass?.degree === bass.degree && other.bass.alter === bass.alter));
}

const marks = new Map(qualities.map(({ id, mark }) => [id, mark]));

function markOf(quality: string): string {
  return marks.get(quality) ?? '';
}

/** What stands in front of the caret: nothing, `-`, `o` or `+`. */
function familyOf(quality: string): string {
  return markOf(quality).split('^')[0] ?? '';
}
