import { describe, expect, it } from 'vitest';
import { instruments } from '../../src/hand/instrument.js';
import { findInstrument, noInstrument } from '../../src/hand/read-instrument.js';
import { readDocument } from '../../src/setlist/document.js';
import { frequency } from '../../src/theory/pitch.js';

const read = (text: string) => readDocument(new TextEncoder().encode(text));

describe('an instrument of the user’s own', () => {
  it('is known by its courses, in mm or inches, and takes what it does not say from the mandolin', () => {
    expect(
      read('name: my banjo\ncourses: C3 G3 D4 A4\nstrings: 1\nscale: 22.5 in\nfrets: 19\n'),
    ).toMatchObject({
      ok: true,
      value: {
        kind: 'instrument',
        instrument: {
          id: 'my-banjo',
          scale: 571.5,
          spacing: 7,
          frets: 19,
          courses: [{ open: 48, strings: 1 }, { open: 55 }, { open: 62 }, { open: 69 }],
        },
      },
    });
  });

  it.each([
    ['courses: C3 G3\n', '1:10 write three to eight courses as notes'],
    ['courses: C G D A\n', '1:10 write three to eight courses as notes'],
    ['courses: C3 G3 D4\nscale: 5\n', '2:8 scale “5” is not a number of mm'],
    ['courses: C3 G3 D4\nstrings: x\n', '2:10 strings “x” is not a number of strings'],
    ['courses: C3 G3 D4\nscael: 300\n', '2:1 “scael” is not a field of an instrument; did you mean “scale”?'],
  ])('%j is told %s', (text, wanted) => {
    expect(
      read(text)
        .faults.map((fault) => `${fault.line}:${fault.column} ${fault.message}`)
        .join('\n'),
    ).toContain(wanted);
  });
});

describe('built-in instruments', () => {
  // Common practice: all are tuned in fifths, from G3, C3, G2 and C2; as MIDI numbers, low to high, with C4 = 60.
  it.each([
    ['mandolin', [55, 62, 69, 76]],
    ['mandola', [48, 55, 62, 69]],
    ['octave-mandolin', [43, 50, 57, 64]],
    ['mandocello', [36, 43, 50, 57]],
  ])('%s is tuned %j', (id, open) => {
    expect(findInstrument(id)?.courses.map((course) => course.open)).toEqual(open);
  });

  // Source: scales of the mandolin family that makers give, as listed by Banjolin (sources in DEVELOPERS.md), mm.
  it.each([
    ['mandolin', 330, 380],
    ['mandola', 400, 480],
    ['octave mandolin', 480, 600],
    ['mandocello', 600, 680],
  ])('the scale of the %s lies from %i to %i', (name, least, most) => {
    const scale = findInstrument(name)?.scale ?? 0;
    expect(scale).toBeGreaterThanOrEqual(least);
    expect(scale).toBeLessThanOrEqual(most);
  });

  it('sound twelve frets up the octave in equal temperament', () => {
    for (const { courses } of instruments)
      for (const { open } of courses)
        expect(frequency((open + 12) as never) / frequency(open)).toBeCloseTo(2, 12);
  });

  it('are offered when a name is near', () => {
    expect(noInstrument('mandolla')).toContain('did you mean “mandola”?');
  });
});
