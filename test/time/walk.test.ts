import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { noteName } from '../../src/theory/pitch.js';
import type { Score } from '../../src/time/score.js';
import { bars } from '../hand/charts.js';
import { score } from './scores.js';

/** A note with its octave: E1 is the lowest of a double bass. */
const named = (note: number): string => `${noteName(note)}${Math.floor(note / 12) - 1}`;
const walking = (written: string, head = {}): Score => score(written, head, { walks: () => true });

/** The bass of a bar as `beat note`, quarters from 1, in G unless the head says otherwise. */
function bass(written: string, bar = 0, head = {}): string {
  const made = walking(written, head);
  const start = made.bars[bar]?.start ?? 0;
  return (made.notes[bar] ?? [])
    .filter((note) => note.voice === 'bass')
    .map(({ at, note }) => `${Number(((at - start) / 960 + 1).toFixed(2))} ${named(note)}`)
    .join(', ');
}

describe('a run of the bass', () => {
  // Common practice in G: G A B into C; G B C into D; D E F♯ back into G, and from C down B A into G.
  it.each([
    ['from 1 into 4', '1 4 1 1', 0, '1 G1, 3 A1, 4 B1'],
    ['from 1 into 5', '1 5 1 1', 0, '1 G1, 3 B1, 4 C2'],
    ['from 4 into 5', '4 5 1 1', 0, '1 C2, 3 B1, 4 C2'],
    ['from 5 into 4', '5 4 1 1', 0, '1 D2, 3 A1, 4 B1'],
    ['from 5 into 1', '5 1 4 1', 0, '1 D2, 3 E2, 4 F#2'],
    ['from 4 into 1', '4 1 5 1', 0, '1 C2, 3 B1, 4 A1'],
    ['from 6- into 5', '6- 5 1 1', 0, '1 E1, 3 B1, 4 C2'],
    // The 2 as a major chord has C♯, the half step below D.
    ['from a major 2 into 5', '2^7 5 1 1', 0, '1 A1, 3 B1, 4 C#2'],
    ['from a minor 2 into 5', '2- 5 1 1', 0, '1 A1, 3 B1, 4 C2'],
  ])('%s', (_, written, bar, expected) => {
    expect(bass(written, bar)).toBe(expected);
  });

  it('leads to the root it runs to, an octave up where that lies above', () => {
    expect(bass('5 1 1 1', 1)).toBe('1 G2, 3 D2');
    expect(bass('1 4 1 1', 1)).toMatch(/^1 C2, /);
  });

  // In A minor: B C into D; F♯ G♯ (a note's number has no spelling: A♭) into A where the E has its G♯, F G where it has G.
  it.each([
    ['1- into 4-', '1- 4- 1- 1-', '1 A1, 3 B1, 4 C2'],
    ['1- into 5', '1- 5 1- 1-', '1 A1, 3 C2, 4 D2'],
    ['5 into 1-', '5 1- 4- 1-', '1 E1, 3 F#1, 4 Ab1'],
    ['5- into 1-', '5- 1- 4- 1-', '1 E1, 3 F1, 4 G1'],
    ['b7 into 4-', 'b7 4- 1- 1-', '1 G1, 3 B1, 4 C2'],
  ])('stays in a minor key: %s', (_, written, expected) => {
    expect(bass(written, 0, { key: 'Am' })).toBe(expected);
  });

  // Quarters of the bar, from 1.
  it.each([
    ['3/4', '1 G1, 2 A1, 3 B1'],
    ['2/4', '1 G1, 2 A1, 2.5 B1'],
    ['2/2', '1 G1, 3 A1, 4 B1'],
    ['6/8', '1 G1, 2.5 A1, 3.5 B1'],
    ['9/8', '1 G1, 2.5 A1, 4 B1'],
    ['12/8', '1 G1, 4 A1, 5.5 B1'],
  ])('takes the last two beats of a bar of %s', (meter, expected) => {
    expect(bass('1 4 4 1', 0, { meter })).toBe(expected);
  });

  it.each([
    ['half a bar: one step', '(1 4) 4', '1 G1, 2 B1, 3 C2'],
    ['three beats: two', '(1... 4.) 4', '1 G1, 2 A1, 3 B1, 4 C2'],
    ['one beat: none', '(1. 4...) 4', '1 G1, 2 C2, 3 G1'],
    ['a chord a beat: none', '(1 4 5 1) 1', '1 G1, 2 C2, 3 D2, 4 G1'],
    ['two beats: one step, then a beat: none', '(1.. 4. 5.) 1', '1 G1, 2 B1, 3 C2, 4 D2'],
  ])('has room in %s', (_, written, expected) => {
    expect(bass(written)).toBe(expected);
  });

  it('has the beats of a bar that is shorter or longer than its meter', () => {
    expect(bass('(1..) 4 4 1', 0, { crooked: 'yes' })).toBe('1 G1, 2 B1');
    expect(bass('(5... 1...) 4 4 1', 0, { crooked: 'yes' })).toBe('1 D2, 2 E2, 3 F#2, 4 G2, 5 A1, 6 B1');
  });

  it('ends before a push', () => {
    expect(bass("1 '4 4 1")).toBe('1 G1, 3 A1, 4 B1');
    expect(bass("1 '4 4 1", 0, { meter: '2/4' })).toBe('1 G1, 1.5 A1, 2 B1');
    expect(bass("1 '4 4 1", 0, { meter: '6/8' })).toBe('1 G1, 2 A1, 2.5 B1');
  });

  it.each([
    ['the chord stays', '1 1 1 1', '1 G1, 3 D2'],
    ['it is left to ring', '1~ 4 4 1', '1 G1'],
    ['it stops', '1! 4 4 1', '1 G1'],
    ['no chord comes', '1 nc 4 1', '1 G1, 3 D2'],
    ['a slash names the bass', '1 4/1 4 1', '1 G1, 3 D2'],
    ['the key changes', '1 @key+2 4 4 1', '1 G1, 3 D2'],
    ['the trade has none', '1 6- 4 1', '1 G1, 3 D2'],
    ['the chord that is left is not of the key', 'b7 5 4 1', '1 F1, 3 C2'],
  ])('is not there where %s', (_, written, expected) => {
    expect(bass(written)).toBe(expected);
  });

  it('leads over the end of the pass into its beginning', () => {
    expect(bass('1 4 1 5', 3)).toBe('1 D2, 3 E1, 4 F#1');
    expect(bass('1 4 1 5', 0)).toMatch(/^1 G1, /);
  });

  it('keeps the bars without it for where the music goes elsewhere', () => {
    const made = walking('1 4 4 1');
    const plain = (made.elsewhere?.[0] ?? []).filter((note) => note.voice === 'bass').map(({ note }) => note);
    expect(plain.map(named)).toStrictEqual(['G1', 'D2']);
    expect(made.elsewhere?.map((bar) => bar !== null)).toStrictEqual([true, false, true, false]);
    expect(score('1 4 4 1').elsewhere).toBeUndefined();
  });

  it('is one note at a time, within reach, and leads by a step, whatever the chart', () => {
    const cell = fc.constantFrom('1', '4', '5', '6-', '2^7', "'4", "'5", '1~', '4/1', 'nc');
    const bar = fc.oneof(
      cell,
      fc
        .array(cell, { minLength: 2, maxLength: 3 })
        .map((cells) => `(${cells.map((one) => `${one}..`).join(' ')})`),
      fc.tuple(cell, cell).map(([one, other]) => `(${one}... ${other}..)`),
      fc.constantFrom('@3/4 1', '@6/8 5', '@2/2 4', '@4/4 1'),
    );
    const passage = fc.array(bar, { minLength: 1, maxLength: 8 }).map((list) => list.join(' '));
    const tonic = fc.constantFrom('C', 'D', 'E', 'F', 'F#', 'A', 'Bb', 'B');
    fc.assert(
      fc.property(passage, tonic, (written, key) => {
        const made = walking(written, { key, crooked: 'yes' });
        const played = made.notes.flat().filter(({ voice }) => voice === 'bass');
        played.sort((one, other) => one.at - other.at);
        expect(played.filter(({ note }) => note < 28 || note > 46)).toStrictEqual([]);
        played.forEach((one, index) => {
          const next = played[index + 1];
          expect(one.at + one.length).toBeLessThanOrEqual(
            next ? next.at : (played[0]?.at ?? 0) + made.length,
          );
          // 86 is a run's loudness: what it leads to, within it and after it, is at most two whole steps off.
          if (next && one.velocity === 86) expect(Math.abs(next.note - one.note)).toBeLessThanOrEqual(4);
        });
        expect(bars(written, { key, crooked: 'yes' })).toHaveLength(made.notes.length);
      }),
      { numRuns: 80 },
    );
  });
});
