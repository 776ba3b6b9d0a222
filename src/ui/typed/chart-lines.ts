import type { NumberChord } from '../../theory/number.js';
import { spokenNumber } from './spoken.js';

/** The numbers of a bar in words; a bar without any is a rest. */
export function chartLine(numbers: readonly (NumberChord | null)[]): string {
  return numbers.map((number) => (number ? spokenNumber(number) : 'no chord')).join(', ') || 'no chord';
}
