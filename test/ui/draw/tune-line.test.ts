import { describe, expect, it } from 'vitest';
import { tuneByBars } from '../../../src/chart/tune/tune-by-bars.js';
import { noteTick } from '../../../src/time/note-tick.js';
import { layOutTune, type PlacedSign, soundingSign } from '../../../src/ui/draw/tune-line.js';
import { chartViewOf } from './chart-views.js';

/** Bars of a song in C with a tune, as many as the tune has. */
function tuneBars(tune: string, room: number, head = 'meter: 4/4') {
  const count = tune.split('|').length;
  const { chart, bars } = chartViewOf(
    `title: T\nkey: C\ncrooked: yes\n${head}\nsections:\n  V: |\n    ${'1 '.repeat(count).trim()}\ntune:\n  V: |\n    ${tune}\n`,
  );
  const notes = tuneByBars(chart, bars).bars;
  return bars.map((bar, index) => ({ bar, notes: notes[index] ?? [], room }));
}

function text(signs: readonly PlacedSign[]): string {
  return signs.reduce((line, sign) => line.padEnd(sign.column) + sign.text, '');
}

function laid(tune: string, room: number, head?: string): readonly string[] {
  const { isAll, bars } = layOutTune(tuneBars(tune, room, head));
  return [isAll ? 'all' : 'some', ...bars.map(text)];
}

describe('layOutTune', () => {
  it.each<[string, string, number, readonly string[]]>([
    ['beats over their place of the rail', 'C2 DE F4', 19, ['all', '1   23   4    -']],
    ['octaves above and below as on paper', "G,2 c2 c'2 G,,2", 19, ['all', "5,  1'   1''  5,,"]],
    ['accidentals before the degree', '^F2 _B2 =B2 c2', 19, ['all', "#4  b7   7    1'"]],
    ['silence as 0, and each beat that a note goes on in as -', 'z2 C6', 15, ['all', '0  1   -   -']],
    ['a bar without a note as silence', 'Z', 15, ['all', '0  0   0   0']],
    ['a syncopation within the beat it goes on into', 'C D2 E F4', 15, ['all', '12 -3  4   -']],
    ['a triplet as three', '(3CDE F2 G4', 15, ['all', '123 4  5   -']],
    ['close together where there is little room', 'CDEF GABc', 12, ['all', "12 34 56 71'"]],
    ['without a space, right over the rail, where there is less', 'CDEF GABG', 8, ['all', '12345675']],
    ['only beats, where eighths have no room', 'CDEF GABc', 8, ['some', '1 3 5 7']],
    ['sixteenths on eighths, where those have room', 'C/D/E/F/ G/F/E/D/ C4', 11, ['some', '13 53 1 -']],
    ['every second beat', "c'd'e'f' g'a'b'c'", 7, ['some', "1'' 5''"]],
    ['the first beat alone', "c'd'e'f' g'a'b'c'", 4, ['some', "1''"]],
  ])('puts %s', (_, tune, room, lines) => {
    expect(laid(tune, room)).toStrictEqual(lines);
  });

  it('shows of all bars of a line as much as the narrowest has room for', () => {
    expect(laid('CDEF GABG', 8)).toStrictEqual(['all', '12345675']);
    expect(laid('CDEF GABG | CDEF GABc', 8)).toStrictEqual(['some', '1 3 5 7', '1 3 5 7']);
  });

  it('counts felt beats: two in 6/8 and in cut time', () => {
    expect(laid('CDE FGA', 9, 'meter: 6/8')).toStrictEqual(['all', '123 456']);
    expect(laid('C/D/E/F/G/A/ BAG', 8, 'meter: 6/8')).toStrictEqual(['some', '135 765']);
    expect(laid('C2 EG c4', 11, 'meter: 2/2')).toStrictEqual(['all', "135  1'"]);
  });

  it('begins with what is tied from the bar before, and does not say it again', () => {
    expect(laid('C4 E4- | E2 z2 C4', 8)).toStrictEqual(['all', '1 - 3 -', '- 0 1 -']);
  });
});

describe('soundingSign', () => {
  function sounding(tune: string, room: number, tick: number, head?: string): string | null {
    const [one] = tuneBars(tune, room, head);
    const signs = layOutTune(one ? [one] : []).bars[0] ?? [];
    const sign = one && soundingSign(one, signs, tick);
    return sign ? `${sign.column} ${sign.text}` : null;
  }

  it.each<[string, string, number, string | null]>([
    ['the note from its tick on', 'CDEF GABG', 480, '1 2'],
    ['the one before, a tick earlier', 'CDEF GABG', 479, '0 1'],
    ['the sign of the beat in which a note goes on', 'C4 D4', 960, '2 -'],
    ['nothing in silence', 'C2 z2 D4', 960, null],
    ['nothing behind a note that ends within its beat', 'C z D2 E4', 480, null],
  ])('is %s', (_, tune, tick, sign) => {
    expect(sounding(tune, 8, tick)).toBe(sign);
  });

  it('is the last that is shown, where the note itself was left out', () => {
    expect(sounding('CDEF GABc', 8, 480)).toBe('0 1');
    expect(sounding('CDEF GABc', 8, 960)).toBe('2 3');
  });

  it('comes later where the bar is swung', () => {
    const swung = 'meter: 4/4\nfeel: swing=67';
    expect(sounding('CDEF GABG', 8, 600, swung)).toBe('0 1');
    expect(sounding('CDEF GABG', 8, 650, swung)).toBe('1 2');
    const [one] = tuneBars('CDEF GABG', 8, swung);
    expect(one && noteTick(one.bar, 161_280 / 2)).toBe(643);
  });
});
