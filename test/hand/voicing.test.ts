import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fretsText, soundingNotes } from '../../src/hand/fingering.js';
import { fret, fretPlace, type Instrument, instruments, mandolin } from '../../src/hand/instrument.js';
import { tonesOf } from '../../src/hand/tones.js';
import { voicings } from '../../src/hand/voicing.js';
import { type Chord, chordTones } from '../../src/theory/chord.js';
import { pitchClass } from '../../src/theory/pitch.js';
import { qualities } from '../../src/theory/quality.js';
import { chord } from '../theory/reading.js';

const reach = 100;

/** Every choice of a fret or silence on every course, kept when it is a closed voicing: slow, and plainly complete. */
function bruteForce(
  wanted: Chord,
  instrument: Instrument,
  highestFret: number,
  needed: readonly number[],
): string[] {
  const tones = chordTones(wanted);
  const root = pitchClass(wanted.root);
  const found: string[] = [];
  const choose = (frets: (number | null)[]): void => {
    if (frets.length < instrument.courses.length) {
      for (const at of [null, ...Array.from({ length: highestFret }, (_, index) => index + 1)])
        choose([...frets, at]);
      return;
    }
    const courses = frets.flatMap((at, course) => (at === null ? [] : [course]));
    const [first = 0, last = 0] = [courses[0], courses.at(-1)];
    if (courses.length < 3 || last - first + 1 !== courses.length) return;
    const fretted = frets.filter((at) => at !== null) as number[];
    const place = (at: number): number => fretPlace(instrument, fret(at));
    if (place(Math.max(...fretted)) - place(Math.min(...fretted)) > reach) return;
    const classes = courses.map(
      (course) => ((instrument.courses[course]?.open ?? 0) + (frets[course] ?? 0)) % 12,
    );
    if (!classes.every((one) => tones.includes(one))) return;
    if (!needed.every((step) => classes.includes((root + step) % 12))) return;
    found.push(frets.map((at) => at ?? 'x').join('-'));
  };
  choose([]);
  return found.sort();
}

describe('voicings', () => {
  it('are exactly those that trying everything finds, over roots, qualities and instruments', () => {
    const cases = fc.record({
      root: fc.constantFrom('C', 'F#', 'Bb', 'G'),
      quality: fc.constantFrom(...qualities.map((one) => one.id)),
      instrument: fc.constantFrom(...instruments),
      highestFret: fc.constantFrom(7, 9),
    });
    fc.assert(
      fc.property(cases, ({ root, quality, instrument, highestFret }) => {
        const wanted = { root, quality, bass: null };
        const { essential } = tonesOf(quality);
        const whole = bruteForce(wanted, instrument, highestFret, essential);
        const rootless = bruteForce(
          wanted,
          instrument,
          highestFret,
          essential.filter((step) => step !== 0),
        ).filter((frets) => !whole.includes(frets));
        const options = { reach, highestFret };
        expect(
          voicings(wanted, instrument, options)
            .map((one) => fretsText(one.frets))
            .sort(),
        ).toEqual(whole.length > 0 ? whole : rootless);
        expect(
          voicings(wanted, instrument, { ...options, rootless: true })
            .map((one) => fretsText(one.frets))
            .sort(),
        ).toEqual([...whole, ...rootless].sort());
      }),
      { numRuns: 60 },
    );
  });

  // Common practice: what players of the mandolin hold.
  it.each([
    ['G', '7-5-2-3'],
    ['D', '7-4-5-x'],
    ['D', '7-4-5-2'],
    ['Gm', '7-5-1-3'],
    ['Gm', 'x-5-1-3'],
    ['Dm', '7-3-5-x'],
    ['G7', '7-3-2-3'],
    ['D7', '7-4-3-x'],
    ['D7', '5-4-5-x'],
    ['Dm7', '5-3-5-x'],
  ])('of %s hold %s', (name, frets) => {
    expect(
      voicings(chord(name), mandolin, { reach, highestFret: 12 }).map((one) => fretsText(one.frets)),
    ).toContain(frets);
  });

  it('say what they leave out', () => {
    const seventh = voicings(chord('D7'), mandolin, { reach, highestFret: 12 }).find(
      (one) => fretsText(one.frets) === '5-4-5-x',
    );
    expect(seventh?.leavesOut).toEqual([7]);
  });

  it('have no open course unless asked for', () => {
    const open = voicings(chord('G'), mandolin, { reach, highestFret: 5, open: true });
    expect(open.map((one) => fretsText(one.frets))).toContain('0-0-2-3');
    for (const one of voicings(chord('G'), mandolin, { reach, highestFret: 5 }))
      expect(one.frets).not.toContain(0);
  });

  it('sound the chord', () => {
    for (const one of voicings(chord('Bm7b5'), mandolin, { reach, highestFret: 12 })) {
      const classes = soundingNotes(mandolin, one.frets).flatMap((note) =>
        note === null ? [] : [note % 12],
      );
      expect(new Set(classes)).toEqual(
        new Set([11, 2, 5, 9].filter((tone) => classes.includes(tone as never))),
      );
      expect(classes).toContain(11);
    }
  });
});
