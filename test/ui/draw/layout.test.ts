import { describe, expect, it } from 'vitest';
import { readChart } from '../../../src/chart/read.js';
import { unroll } from '../../../src/chart/unroll.js';
import { comingRow, formParts, layOut, partAt, slotBar } from '../../../src/ui/draw/layout.js';

const head = 'title: Ferry Bell\nkey: A\ntempo: 120\nmeter: 4/4\n';

function chartOf(rest: string) {
  const read = readChart(new TextEncoder().encode(head + rest));
  if (!read.ok) throw new Error(JSON.stringify(read.faults));
  return { chart: read.value, bars: unroll(read.value).bars };
}

const song = `form: V, C, break (me), V
sections:
  V: |
    |: 1 4 [1st 5 5 ] [2nd 1 1 ] :|
  C: |
    4 4 1 1 5 5
    1 1
  break: all of C
`;

function picture(rest: string, kind: 'fours' | 'phrases' | 'written', most = 8): string[] {
  const { chart, bars } = chartOf(rest);
  return layOut(chart, bars, kind, most).rows.map(({ section, who, slots }) => {
    const drawn = slots.map((slot) => `${slot.before}${slot.ending}${slot.times.join('/')}${slot.after}`);
    return `${section}${who ? ` (${who})` : ''}: ${drawn.join(' ')}`;
  });
}

describe('layOut', () => {
  it('puts four bars on a line as they are played', () => {
    expect(picture(song, 'fours')).toEqual([
      'V: 0 1 2 3',
      ': 4 5 6 7',
      'C: 8 9 10 11',
      ': 12 13 14 15',
      'break (me): 16 17 18 19',
      ': 20 21 22 23',
      'V: 24 25 26 27',
      ': 28 29 30 31',
    ]);
  });

  it('breaks lines where the file does, and where a repeat goes back', () => {
    expect(picture(song, 'phrases')).toEqual([
      'V: 0 1 2 3',
      ': 4 5 6 7',
      'C: 8 9 10 11 12 13',
      ': 14 15',
      'break (me): 16 17 18 19 20 21',
      ': 22 23',
      'V: 24 25 26 27',
      ': 28 29 30 31',
    ]);
  });

  it('shows each written section once, with its repeats and endings and all the times it is played', () => {
    expect(picture(song, 'written')).toEqual([
      'V: |:0/4/24/28 1/5/25/29 1st2/26 3/27 2nd6/30 7/31:|',
      'C: 8/16 9/17 10/18 11/19 12/20 13/21',
      ': 14/22 15/23',
    ]);
  });

  it('breaks a written line that is too long into equal parts', () => {
    expect(picture(song, 'written', 5)).toEqual([
      'V: |:0/4/24/28 1/5/25/29 1st2/26',
      ': 3/27 2nd6/30 7/31:|',
      'C: 8/16 9/17 10/18',
      ': 11/19 12/20 13/21',
      ': 14/22 15/23',
    ]);
  });

  it('says how often a repeat is played, and has bars that only a last pass comes to', () => {
    const rest = 'sections:\n  V: |\n    |: 1 4 :| x3\n    |: 1 [1st 5 ] [last 1! ] :|\n';
    const { chart, bars } = chartOf(rest);
    const { rows } = layOut(chart, bars, 'written', 8);
    expect(rows[0]?.slots.map((slot) => slot.after)).toEqual(['', ':|x3']);
    const last = rows[1]?.slots[2];
    expect(last?.ending).toBe('last');
    expect(last?.times).toEqual([]);
    expect(last?.unplayed?.cells[0]).toMatchObject({ ending: 'stop', beats: 4 });
  });

  it('is worked out once for a pass', () => {
    const { chart, bars } = chartOf(song);
    expect(layOut(chart, bars, 'written', 8)).toBe(layOut(chart, bars, 'written', 8));
    expect(layOut(chart, bars, 'written', 8)).not.toBe(layOut(chart, bars, 'written', 5));
  });

  it.each(['fours', 'phrases', 'written'] as const)('%s has a place for every bar of the pass', (kind) => {
    const { chart, bars } = chartOf(song);
    const layout = layOut(chart, bars, kind, 5);
    bars.forEach((_, bar) => {
      const slot = layout.rows[layout.rowOf[bar] as number]?.slots[layout.slotOf[bar] as number];
      expect(slot?.times).toContain(bar);
    });
  });
});

describe('slotBar', () => {
  const slot = { times: [2, 10, 18], unplayed: null, before: '', after: '', ending: '' };
  it.each([
    [0, 2],
    [2, 2],
    [3, 10],
    [18, 18],
    [19, 18],
  ])('at bar %i is %i', (bar, expected) => {
    expect(slotBar(slot, bar)).toBe(expected);
  });
});

describe('comingRow', () => {
  const { chart, bars } = chartOf(song);
  const whole = { from: 0, to: bars.length };
  it.each([
    ['fours', 0, 1],
    ['fours', 7, 2],
    ['fours', 31, 0],
    // The first ending leads back to the beginning of the same line.
    ['written', 2, 0],
    ['written', 7, 1],
    ['written', 15, 1],
    ['written', 31, 0],
  ] as const)('%s: after bar %i comes line %i', (kind, bar, row) => {
    expect(comingRow(layOut(chart, bars, kind, 8), bar, whole, true)).toBe(row);
  });

  it('is none after the end, and within a loop the loop’s own', () => {
    const layout = layOut(chart, bars, 'fours', 8);
    expect(comingRow(layout, 31, whole, false)).toBeNull();
    expect(comingRow(layout, 11, { from: 4, to: 12 }, true)).toBe(1);
  });
});

describe('formParts', () => {
  it('has every time a section is played', () => {
    const { bars } = chartOf('form: V x2, C (me)\nsections:\n  V: |\n    1 4\n  C: |\n    5 1\n');
    expect(formParts(bars).map(({ section, who, from, to }) => `${section} ${who} ${from}-${to}`)).toEqual([
      'V null 0-2',
      'V null 2-4',
      'C me 4-6',
    ]);
    expect([0, 1, 2, 3, 4, 5].map((bar) => partAt(formParts(bars), bar))).toEqual([0, 0, 1, 1, 2, 2]);
  });
});

describe('what a form word plays once more', () => {
  const again = `form: V, C, from sign to coda (soft), coda
sections:
  V: |
    1 @sign 4
  C: |
    6- @to-coda 5
  coda: first 1 of V + 5 1
`;

  it('stands under the names of its sections', () => {
    expect(picture(again, 'fours')).toEqual(['V: 0 1', 'C: 2 3', 'V: 4', 'C: 5', 'coda: 6 7 8']);
    const { bars } = chartOf(again);
    expect(formParts(bars).map(({ section, level, from, to }) => [section, level, from, to])).toEqual([
      ['V', null, 0, 2],
      ['C', null, 2, 4],
      ['V', 'soft', 4, 5],
      ['C', 'soft', 5, 6],
      ['coda', null, 6, 9],
    ]);
  });

  it('is another time through what is written; bars between pieces stand under their section', () => {
    expect(picture(again, 'written')).toEqual(['V: 0/6 1/4', 'C: 2/5 3', 'coda: 7 8']);
  });
});
