import { describe, expect, it } from 'vitest';
import { unroll } from '../../src/chart/unroll.js';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { openRepeats, plainBar, type SheetBar } from '../../src/exchange/lead-sheet.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { chordName } from '../../src/theory/chord.js';

/* What a tune with repeats plays, and what is told of them. */

function brought(body: string, head = ''): { played: string; told: readonly string[] } {
  const [tune] = abcTunes(`X:1\nT:T\nC:by\nM:4/4\nL:1/8\nQ:1/4=120\n${head}K:G\n${body}\n`);
  if (!tune) throw new Error('no tune');
  const read = readAbc(tune);
  const { chart, remarks } = chartFromSheet(read.sheet);
  const played = unroll(chart).bars.map(({ cells }) =>
    cells.map(({ chord }) => (chord ? chordName(chord) : 'nc')).join(''),
  );
  return { played: played.join(' '), told: [...read.remarks, ...remarks].map(({ message }) => message) };
}

/** `GC||D:|`: a bar for each chord, with a bar line where none is written. */
const bars = (chords: string): string =>
  chords.replace(/([A-G]m?)([|:]*)/g, (_, chord, line) => `"${chord}"z8${line || '|'}`);

describe('a repeat without its beginning goes back to', () => {
  it.each([
    ['a double bar', bars('GC||DEm:|'), 'G C D Em D Em'],
    ['a part', `P:A\n${bars('GC')}\nP:B\n${bars('DEm:|')}`, 'G C D Em D Em'],
    ['a double bar within a part', `P:A\n${bars('GC||DEm:|')}\nP:B\n${bars('C')}`, 'G C D Em D Em C'],
    ['the last repeat’s end', bars('GC:|DEm:|'), 'G C G C D Em D Em'],
  ])('%s', (_, body, wanted) => {
    const { played, told } = brought(body);
    expect(played).toBe(wanted);
    expect(told.filter((message) => message.includes('repeat'))).toEqual([]);
  });

  it('what comes after the last repeat’s end where sections are no borders, as in MusicXML', () => {
    const bar = (section: string | null, closes: number | null): SheetBar => ({
      ...plainBar,
      section,
      closes,
    });
    const opened = openRepeats([bar('A', null), bar(null, 2), bar('B', null), bar('C', 2)], false);
    expect(opened.map(({ opens }) => opens)).toEqual([true, false, true, false]);
  });
});

describe('a repeat over the border of sections', () => {
  it('is played where a double bar stands within it', () => {
    expect(brought(`|:${bars('GC||DEm:|')}`)).toEqual({ played: 'G C D Em G C D Em', told: [] });
  });

  it('is played where a part begins within it, whose name is a cue, and that is told', () => {
    const { played, told } = brought(`P:A\n|:${bars('GC')}\nP:B\n${bars('DEm:|')}`);
    expect(played).toBe('G C D Em G C D Em');
    expect(told).toEqual([
      '“B” begins inside a repeat, so it is not a section of its own: its name is kept as a cue',
    ]);
  });

  it('is left out where a form says how the parts follow, and it is not said to be open', () => {
    const { played, told } = brought(`P:A\n|:${bars('GC')}\nP:B\n${bars('DEm:|')}`, 'P:AB\n');
    expect(played).toBe('G C D Em');
    expect(told).toEqual(['a repeat that ends in another section is left out']);
  });
});

describe('a repeat within a repeat', () => {
  it('is written out, and that is told', () => {
    expect(brought('|:"C"z8|:"F"z8|"G"z8:|"C"z8:|"Am"z8|')).toEqual({
      played: 'C F G F G C C F G F G C Am',
      told: ['a repeat inside a repeat is written out in full'],
    });
  });

  it('is written out with its endings', () => {
    const { played } = brought('|:"C"z8|:"F"z8|[1"G"z8:|[2"D"z8||"C"z8:|"Am"z8|');
    expect(played).toBe('C F G F D C C F G F D C Am');
  });

  it('stands alone where written out there were too many bars', () => {
    const { played, told } = brought(`${'|:"C"z8'.repeat(20)}${':|"D"z8'.repeat(20)}|`);
    expect(played.split(' ')).toHaveLength(41);
    expect(told.filter((message) => message.endsWith('the outer one is left out'))).toHaveLength(19);
  });
});

describe('a first ending that another follows', () => {
  it.each([
    ['without a repeat sign', '|:"G"z8|1"C"z8|2"D"z8||"Em"z8|', 'G C G D Em'],
    ['without its beginning either', '"Am"z8||"G"z8|1"C"z8|2"D"z8||"Em"z8|', 'Am G C G D Em'],
  ])('goes back %s, and that is told', (_, body, wanted) => {
    const { played, told } = brought(body);
    expect(played).toBe(wanted);
    expect(told).toEqual(['another ending follows the first one without a repeat sign: the sign is added']);
  });
});

describe('words that say how often a repeat is played', () => {
  it.each([
    ['behind it at the end', '|:"G"z8|"C"z8:|"^x3"', 'G C G C G C'],
    ['behind it', '|:"G"z8:|"^x3"|"C"z8|', 'G G G C'],
    ['behind it, in front of another', '|:"G"z8:|"^(3x)"|:"C"z8:|', 'G G G C C'],
    ['in its last bar', '|:"G"z8|"C"z8"^3 times":|"D"z8|', 'G C G C G C D'],
    ['in its first bar', '"D"z8|:"^3x""G"z8|"C"z8:|', 'D G C G C G C'],
  ])('%s', (_, body, wanted) => {
    const { played, told } = brought(body);
    expect(played).toBe(wanted);
    expect(told).toEqual([expect.stringMatching(/^“.+” is read as the number of times to play the repeat$/)]);
  });

  it('are cues elsewhere, and those after the last bar are kept with it', () => {
    const [tune] = abcTunes('X:1\nM:4/4\nL:1/8\nK:G\n"G"z8|"^x3""C"z8|"^to end"\n');
    if (!tune) throw new Error('no tune');
    expect(readAbc(tune).sheet.bars.map(({ cues }) => cues)).toEqual([[], ['x3', 'to end']]);
  });
});
