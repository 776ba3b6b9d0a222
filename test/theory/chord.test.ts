import teoria from 'teoria';
import { describe, expect, it } from 'vitest';
import { chordName, chordTones, noteDegree, parseChord, toChord, toNumber } from '../../src/theory/chord.js';
import { keyName, majorTonics } from '../../src/theory/key.js';
import { degreeText } from '../../src/theory/number.js';
import { pitchClass } from '../../src/theory/pitch.js';
import { chord, everyKey, key, number } from './reading.js';

const inKey = (numbers: string, tonic: string): string =>
  numbers
    .split(' ')
    .map((one) => chordName(toChord(number(one), key(tonic))))
    .join(' ');

describe('toChord', () => {
  // Number systems as players publish them: the chords of a major key, in C and in G (roots).
  it('has the chords of C and the roots of G', () => {
    expect(inKey('1 2- 3- 4 5 6- 7o', 'C')).toBe('C Dm Em F G Am Bdim');
    expect(inKey('1 2 3 4 5 6 7', 'G')).toBe('G A B C D E F#');
  });

  // A second library: the notes of each major scale as `teoria` spells them, and its notes for each chord name.
  it.each(majorTonics)('has the chords of %s with the notes of a second library', (tonic) => {
    const scale = teoria.note(tonic).scale('major').simple();
    const roots = scale.map((note) => note[0]?.toUpperCase() + note.slice(1));
    expect(inKey('1 2 3 4 5 6 7', tonic).split(' ')).toStrictEqual(roots);
    const within = new Set(scale.map((note) => teoria.note(note).chroma()));
    for (const one of ['1', '2-', '3-', '4', '5', '6-', '7o']) {
      const made = toChord(number(one), key(tonic));
      const notes = teoria.chord(chordName(made)).notes();
      expect(chordTones(made)).toStrictEqual(notes.map((note) => note.midi() % 12));
      expect(notes.filter((note) => !within.has(note.chroma()))).toStrictEqual([]);
    }
  });

  it.each([
    ['4', 'Eb', 'Ab'],
    ['4', 'F', 'Bb'],
    ['b7', 'Eb', 'Db'],
    ['3', 'E', 'G#'],
    ['b7', 'A', 'G'],
    ['b3', 'Am', 'C'],
    ['#4', 'C', 'F#'],
    ['b5', 'C', 'Gb'],
    ['#4', 'F', 'B'],
    ['1/3', 'D', 'D/F#'],
    ['5^7/7', 'Bb', 'F7/A'],
    // Double accidentals give way to the plain note.
    ['b3', 'Gb', 'A'],
    ['b6', 'Gb', 'D'],
    ['#5', 'B', 'G'],
    ['#7', 'C#', 'C#'],
    ['3', 'D#', 'G'],
    ['b7', 'D#', 'C#'],
  ])('%s of %s is %s', (one, tonic, name) => {
    expect(inKey(one, tonic)).toBe(name);
  });
});

describe('toNumber', () => {
  const degrees = ['b', '', '#'].flatMap((sign) => [1, 2, 3, 4, 5, 6, 7].map((degree) => sign + degree));

  it.each(everyKey.map((one) => [keyName(one), one] as const))('gives the same sound back in %s', (_, of) => {
    for (const root of degrees) {
      for (const bass of [null, ...degrees]) {
        const there = toChord(number(bass === null ? `${root}-^7` : `${root}-^7/${bass}`), of);
        const back = toChord(toNumber(there, of), of);
        expect(chordTones(back)).toStrictEqual(chordTones(there));
        expect(back.bass && pitchClass(back.bass)).toBe(there.bass && pitchClass(there.bass));
      }
    }
  });

  it.each([
    ['Gb', 'C', 'b5'],
    ['F#', 'C', '#4'],
    ['D#', 'C', '#2'],
    ['Eb', 'C', 'b3'],
    ['B#', 'C', '1'],
    ['Cb', 'C', '7'],
    ['C', 'A', 'b3'],
    ['F', 'Am', 'b6'],
    ['G#', 'Eb', '4'],
  ])('%s in %s is %s', (note, tonic, degree) => {
    expect(degreeText(noteDegree(note, key(tonic)))).toBe(degree);
  });
});

describe('parseChord', () => {
  it.each([
    ['A', 'A', 'major', null],
    ['F#m', 'F#', 'minor', null],
    ['Bb7', 'Bb', '7', null],
    ['B♭7', 'Bb', '7', null],
    ['D/F#', 'D', 'major', 'F#'],
    ['C♯m7♭5/G♭', 'C#', 'm7b5', 'Gb'],
    ['B°', 'B', 'dim', null],
    ['C6/9', 'C', '69', null],
    ['C6/9/E', 'C', '69', 'E'],
    ['Cm(maj7)', 'C', 'mmaj7', null],
  ])('%s', (text, root, quality, bass) => {
    expect(chord(text)).toStrictEqual({ root, quality, bass });
  });

  it.each([
    ['a', 0, '“a” is not a chord; the root is a capital letter'],
    ['H', 0, '“H” is not a chord; a chord starts with a capital'],
    ['', 0, '“” is not a chord'],
    ['Cq', 1, '“q” is not a chord quality'],
    ['Bbb', 2, '“b” is not a chord quality'],
    ['C/e', 1, '“/e” is not a chord quality'],
    ['C/', 1, '“/” is not a chord quality'],
  ])('%j is refused at offset %i', (text, at, sentence) => {
    const outcome = parseChord(text);
    expect(outcome.ok ? null : outcome.fault.at).toBe(at);
    expect(outcome.ok ? '' : outcome.fault.message).toContain(sentence);
  });
});
