import { describe, expect, it } from 'vitest';
import { unroll } from '../../src/chart/unroll.js';
import { asPlayed, songFaults } from '../../src/setlist/as-played.js';
import { readDocument } from '../../src/setlist/document.js';
import type { SetEntry } from '../../src/setlist/set.js';
import { demoChart } from '../ui/model.js';

function entry(lines: string): SetEntry {
  const read = readDocument(new TextEncoder().encode(`title: T\ncharts:\n  - file: a.yaml\n${lines}`));
  if (!read.ok || read.value.kind !== 'set') throw new Error(JSON.stringify(read.faults));
  return read.value.set.entries[0] as SetEntry;
}

const patterns = ['low-chop', 'shuffle'];

describe('asPlayed', () => {
  it('puts the set’s form, pattern and program into the chart', () => {
    const chart = asPlayed(
      demoChart('weir-hands'),
      entry('    form: V x2\n    pattern: shuffle\n    program: 12\n'),
    );
    expect(unroll(chart).bars).toHaveLength(16);
    expect(chart).toMatchObject({ pattern: 'shuffle', midi: 12, title: 'Weir Hands' });
  });

  it('leaves what the set does not say, and a program for other gear', () => {
    const own = demoChart('weir-hands');
    expect(asPlayed(own, entry(''))).toEqual(own);
    expect(asPlayed(own, entry('    program: 12, channel 5\n')).midi).toBe(own.midi);
  });
});

describe('songFaults', () => {
  it.each([
    ['', []],
    ['    key: Bm\n', ['error 3:5 the chart is in a major key, but Bm is not; write a key such as A']],
    [
      '    singer: Nobody\n',
      ['warning 3:5 the chart has no key for “Nobody”; it names no singers, so it is played in its own key'],
    ],
    [
      '    pattern: shufle\n',
      ['warning 3:5 “shufle” is not a pattern; did you mean “shuffle”?; low-chop is played instead'],
    ],
    [
      '    form: V, Chorus\n',
      ['error 4:14 there is no section “Chorus”; the sections are: V, kickoff, break'],
    ],
  ])('of a song with %j', (lines, told) => {
    expect(
      songFaults(demoChart('weir-hands'), entry(lines), patterns).map(
        ({ severity, place, message }) => `${severity} ${place.line}:${place.column} ${message}`,
      ),
    ).toEqual(told);
  });
});

describe('a form with form words in a set', () => {
  it.each([
    ['V, break, from top', []],
    [
      'V, break, from sign',
      [
        'error no bar played so far has a sign to go back to; write @sign before a bar, in a section that comes earlier in the form',
      ],
    ],
    [
      'V, from top to coda',
      [
        'error no bar from the top on leads to the coda; write @to-coda after the last bar before the jump',
        'warning no section follows “from top to coda”; write the coda as a section and put its name after it: from top to coda, coda',
      ],
    ],
    [
      'from top, V',
      ['error “from top” comes first in the form, where nothing has been played yet that could be repeated'],
    ],
  ])('%s', (form, faults) => {
    const told = songFaults(demoChart('weir-hands'), entry(`    form: ${form}\n`), patterns);
    expect(told.map(({ severity, message }) => `${severity} ${message}`).sort()).toStrictEqual(faults);
  });
});
