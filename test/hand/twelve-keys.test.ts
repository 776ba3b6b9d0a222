import { describe, expect, it } from 'vitest';
import { fretsText } from '../../src/hand/fingering.js';
import { begins } from '../../src/hand/home.js';
import { mandolin } from '../../src/hand/instrument.js';
import { planHand } from '../../src/hand/plan.js';
import { chordName } from '../../src/theory/chord.js';
import { changes } from './charts.js';

/**
 * What plans give for the progressions of the trade in all keys, read as a player would play them: closed chords from
 * the first to about the seventh fret, the 1 4 5 of each key in its family, minors low (common practice). Fingers by
 * letter, bass side first.
 */
const tables: Readonly<Record<string, readonly (readonly [key: string, chords: string])[]>> = {
  '1 4 5 1': [
    ['C', 'C 5-2-3-x RIM. | F 5-3-3-5 RIIL | G 7-5-2-3 LRIM | C 5-2-3-x RIM.'],
    ['Db', 'Db 6-3-4-x RIM. | Gb 6-4-1-2 LRIM | Ab 8-6-3-4 LRIM | Db 6-3-4-x RIM.'],
    ['D', 'D 7-4-5-x RIM. | G 7-5-2-3 LRIM | A 9-7-4-5 LRIM | D 7-4-5-x RIM.'],
    ['Eb', 'Eb 8-5-6-x RIM. | Ab 8-6-3-4 LRIM | Bb 10-8-5-6 LRIM | Eb 8-5-6-x RIM.'],
    ['E', 'E 9-6-7-x RIM. | A 9-7-4-5 LRIM | B 11-9-6-7 LRIM | E 9-6-7-x RIM.'],
    ['F', 'F 10-7-8-x RIM. | Bb 10-8-5-6 LRIM | C 12-10-7-8 LRIM | F 10-7-8-x RIM.'],
    ['F#', 'F# 6-4-1-2 LRIM | B 4-1-2-x RIM. | C# 6-3-4-x LMR. | F# 6-4-1-2 LRIM'],
    ['G', 'G 7-5-2-3 LRIM | C 5-2-3-x RIM. | D 7-4-5-x LMR. | G 7-5-2-3 LRIM'],
    ['Ab', 'Ab 8-6-3-4 LRIM | Db 6-3-4-x RIM. | Eb 8-5-6-x LMR. | Ab 8-6-3-4 LRIM'],
    ['A', 'A 9-7-4-5 LRIM | D 7-4-5-x RIM. | E 9-6-7-x LMR. | A 9-7-4-5 LRIM'],
    ['Bb', 'Bb 10-8-5-6 LRIM | Eb 8-5-6-x RIM. | F 10-7-8-x RIM. | Bb 10-8-5-6 LRIM'],
    ['B', 'B 11-9-6-7 LRIM | E 9-6-7-x RIM. | F# 11-8-9-x RIM. | B 11-9-6-7 LRIM'],
  ],
  '1 6- 4 5': [
    ['C', 'C 5-2-3-x RIM. | Am x-2-3-5 .IML | F 5-3-3-5 RIIL | G 7-5-2-3 LRIM'],
    ['Db', 'Db 6-3-4-x RIM. | Bbm x-3-4-6 .IML | Gb 6-4-1-2 LRIM | Ab 8-6-3-4 LRIM'],
    ['D', 'D 7-4-5-x RIM. | Bm x-4-5-7 .IML | G 7-5-2-3 LRIM | A 9-7-4-5 LRIM'],
    ['Eb', 'Eb 8-5-6-x RIM. | Cm x-5-6-8 .IML | Ab 8-6-3-4 LRIM | Bb 10-8-5-6 LRIM'],
    ['E', 'E 9-6-7-x RIM. | C#m x-6-7-9 .IML | A 9-7-4-5 LRIM | B 11-9-6-7 LRIM'],
    ['F', 'F 5-3-3-5 RIIL | Dm 7-3-5-x LIR. | Bb 3-3-5-6 IIRL | C 5-2-3-x RIM.'],
    ['F#', 'F# 6-4-1-2 LRIM | D#m x-1-1-2 .IIM | B 4-1-2-x RIM. | C# 6-3-4-x LMR.'],
    ['G', 'G 7-5-2-3 LRIM | Em x-2-2-3 .IIM | C 5-2-3-x RIM. | D 7-4-5-x LMR.'],
    ['Ab', 'Ab 8-6-3-4 LRIM | Fm x-3-3-4 .IIM | Db 6-3-4-x RIM. | Eb 8-5-6-x LMR.'],
    ['A', 'A 9-7-4-5 LRIM | F#m x-4-4-5 .IIM | D 7-4-5-x RIM. | E 9-6-7-x LMR.'],
    ['Bb', 'Bb 10-8-5-6 LRIM | Gm x-5-5-6 .IIM | Eb 8-5-6-x RIM. | F 10-7-8-x RIM.'],
    ['B', 'B 11-9-6-7 LRIM | G#m x-6-6-7 .IIM | E 9-6-7-x RIM. | F# 11-8-9-x RIM.'],
  ],
  '1 6- 2- 5': [
    ['C', 'C 5-2-3-x RIM. | Am x-7-3-5 .LIR | Dm 7-3-5-x LIR. | G 7-5-2-3 LRIM'],
    ['Db', 'Db 6-3-4-x RIM. | Bbm x-8-4-6 .LIR | Ebm 8-4-6-x LIR. | Ab 8-6-3-4 LRIM'],
    ['D', 'D 7-4-5-x RIM. | Bm x-9-5-7 .LIR | Em 9-5-7-x LIR. | A 9-7-4-5 LRIM'],
    ['Eb', 'Eb 8-5-6-x RIM. | Cm x-10-6-8 .LIR | Fm 10-6-8-x LIR. | Bb 10-8-5-6 LRIM'],
    ['E', 'E 9-6-7-x RIM. | C#m x-11-7-9 .LIR | F#m 11-7-9-x LIR. | B 11-9-6-7 LRIM'],
    ['F', 'F 5-3-3-5 RIIL | Dm 7-3-5-x LIR. | Gm x-5-1-3 .LIR | C 5-2-3-x LMR.'],
    ['F#', 'F# 6-4-1-2 LRIM | D#m x-1-1-2 .IIM | G#m x-6-2-4 .LIR | C# 6-3-4-x LMR.'],
    ['G', 'G 7-5-2-3 LRIM | Em x-2-2-3 .IIM | Am x-7-3-5 .LIR | D 7-4-5-x LMR.'],
    ['Ab', 'Ab 8-6-3-4 LRIM | Fm x-3-3-4 .IIM | Bbm x-8-4-6 .LIR | Eb 8-5-6-x LMR.'],
    ['A', 'A 9-7-4-5 LRIM | F#m x-4-4-5 .IIM | Bm x-9-5-7 .LIR | E 9-6-7-x LMR.'],
    ['Bb', 'Bb 10-8-5-6 LRIM | Gm x-5-5-6 .IIM | Cm x-10-6-8 .LIR | F 10-7-8-x LMR.'],
    ['B', 'B 11-9-6-7 LRIM | G#m x-6-6-7 .IIM | C#m x-11-7-9 .LIR | F# 11-8-9-x LMR.'],
  ],
  '1 b7 4': [
    ['C', 'C 5-2-3-x RIM. | Bb 3-3-5-6 IIRL | F 5-3-3-5 RIIL'],
    ['Db', 'Db 6-3-4-x LMR. | Cb 4-1-2-x RIM. | Gb 6-4-1-2 LRIM'],
    ['D', 'D 7-4-5-x LMR. | C 5-2-3-x RIM. | G 7-5-2-3 LRIM'],
    ['Eb', 'Eb 8-5-6-x RIM. | Db 6-3-4-x RIM. | Ab 8-6-3-4 LRIM'],
    ['E', 'E 9-6-7-x RIM. | D 7-4-5-x RIM. | A 9-7-4-5 LRIM'],
    ['F', 'F 10-7-8-x RIM. | Eb 8-5-6-x RIM. | Bb 10-8-5-6 LRIM'],
    ['F#', 'F# 6-4-1-2 LRIM | E 4-2-2-4 RIIL | B 4-1-2-x RIM.'],
    ['G', 'G 7-5-2-3 LRIM | F 5-3-3-5 RIIL | C 5-2-3-x RIM.'],
    ['Ab', 'Ab 8-6-3-4 LRIM | Gb 6-4-1-2 LRIM | Db 6-3-4-x RIM.'],
    ['A', 'A 9-7-4-5 LRIM | G 7-5-2-3 LRIM | D 7-4-5-x RIM.'],
    ['Bb', 'Bb 10-8-5-6 LRIM | Ab 8-6-3-4 LRIM | Eb 8-5-6-x RIM.'],
    ['B', 'B 11-9-6-7 LRIM | A 9-7-4-5 LRIM | E 9-6-7-x RIM.'],
  ],
  '2- 5 1': [
    ['C', 'Dm 7-3-5-x LIR. | G 7-5-2-3 LRIM | C 5-2-3-x RIM.'],
    ['Db', 'Ebm 8-4-6-x LIR. | Ab 8-6-3-4 LRIM | Db 6-3-4-x RIM.'],
    ['D', 'Em 9-5-7-x LIR. | A 9-7-4-5 LRIM | D 7-4-5-x RIM.'],
    ['Eb', 'Fm 10-6-8-x LIR. | Bb 10-8-5-6 LRIM | Eb 8-5-6-x RIM.'],
    ['E', 'F#m 11-7-9-x LIR. | B 11-9-6-7 LRIM | E 9-6-7-x RIM.'],
    ['F', 'Gm x-5-1-3 .LIR | C 5-2-3-x LMR. | F 5-3-3-5 RIIL'],
    ['F#', 'G#m x-6-2-4 .LIR | C# 6-3-4-x LMR. | F# 6-4-1-2 LRIM'],
    ['G', 'Am x-7-3-5 .LIR | D 7-4-5-x LMR. | G 7-5-2-3 LRIM'],
    ['Ab', 'Bbm x-8-4-6 .LIR | Eb 8-5-6-x LMR. | Ab 8-6-3-4 LRIM'],
    ['A', 'Bm x-9-5-7 .LIR | E 9-6-7-x LMR. | A 9-7-4-5 LRIM'],
    ['Bb', 'Cm x-10-6-8 .LIR | F 10-7-8-x LMR. | Bb 10-8-5-6 LRIM'],
    ['B', 'C#m x-11-7-9 .LIR | F# 11-8-9-x LMR. | B 11-9-6-7 LRIM'],
  ],
};

const letters = (fingers: readonly (number | null)[]): string =>
  fingers.map((one) => (one === null ? '.' : 'IMRL'[one - 1])).join('');

describe.each(Object.entries(tables))('%s', (numbers, rows) => {
  it.each(rows)('in %s', (tonic, chords) => {
    const plan = planHand(changes(numbers, tonic), mandolin);
    const read = plan.changes.map(
      ({ chord, fingering }) =>
        `${chordName(chord)} ${fretsText(fingering?.frets ?? [])} ${letters(fingering?.fingers ?? [])}`,
    );
    expect(read.join(' | ')).toBe(chords);
  });

  it.each(rows)('in %s begins no shape above the seventh fret, but the 5 of B', (tonic) => {
    const plan = planHand(changes(numbers, tonic), mandolin);
    const high = plan.changes.filter(({ fingering }) => begins(fingering?.frets ?? []) > 7);
    expect(high.map(({ fingering }) => fretsText(fingering?.frets ?? []))).toEqual(
      high.map(() => (tonic === 'B' ? '11-8-9-x' : 'none')),
    );
  });
});
