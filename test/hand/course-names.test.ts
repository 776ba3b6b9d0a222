import { describe, expect, it } from 'vitest';
import { courseNames, risesInPitch } from '../../src/hand/course-names.js';
import { instruments, mandolin } from '../../src/hand/instrument.js';
import { instrument } from './shapes.js';

describe('courseNames', () => {
  it.each([
    ['in fifths', [55, 62, 69, 76], ['G', 'D', 'A', 'E'], true],
    ['with a high g', [67, 60, 64, 69], ['G', 'C', 'E', 'A'], false],
    ['two of a letter', [43, 50, 55, 59], ['low G', 'D', 'high G', 'B'], true],
    ['three of a letter', [38, 50, 57, 62], ['low D', 'middle D', 'A', 'high D'], true],
    ['two of a pitch', [67, 60, 64, 67], ['first G', 'C', 'E', 'second G'], false],
    ['a letter with a sign', [55, 62, 70, 75], ['G', 'D', 'Bb', 'Eb'], true],
  ])('%s', (_, open, names, rises) => {
    const tuned = instrument(open, 350);
    expect(courseNames(tuned)).toEqual(names);
    expect(risesInPitch(tuned)).toBe(rises);
  });

  it('are those of the drawn neck on every built-in instrument', () => {
    expect(courseNames(mandolin)).toEqual(['G', 'D', 'A', 'E']);
    for (const one of instruments) expect(courseNames(one).every((name) => /^[A-G]$/.test(name))).toBe(true);
  });
});
