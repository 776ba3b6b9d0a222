import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import { readChart } from '../../src/chart/read.js';
import { textInKey } from '../../src/chart/text-in-key.js';
import { playedTune } from '../../src/chart/tune/play-tune.js';
import { partsPerQuarter, type TuneNote } from '../../src/chart/tune/tune.js';
import { chartInKey } from '../../src/chart/tune/tune-in-key.js';
import { pitchHeight } from '../../src/chart/tune/tune-pitch.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { generatedPlainChart } from './generated.js';
import { seeds, tuneFor } from './tune-generated.js';

function reading(text: string): ReturnType<typeof readChart> {
  return readChart(new TextEncoder().encode(text));
}

function read(text: string): Chart {
  const found = reading(text);
  if (!found.ok)
    throw new Error(
      `${found.faults.map((one) => `${one.line}:${one.column} ${one.message}`).join('\n')}\n${text}`,
    );
  return found.value;
}

function chartWith(tune: string, bars = '1 4', head = 'key: C\nmeter: 4/4'): string {
  return `title: Try\n${head}\nsections:\n  V: |\n    ${bars}\ntune:\n  V: |\n${tune
    .split('\n')
    .map((line) => `    ${line}`)
    .join('\n')}\n`;
}

/** Notes as degree, octave and length in eighths: `b3:-1*2`, a tie as `-`, a rest as `z`. */
function told(notes: readonly TuneNote[]): string {
  return notes
    .map(({ pitch, parts, tie }) => {
      const length = Number(((2 * parts) / partsPerQuarter).toFixed(4));
      if (!pitch) return `z*${length}`;
      const sign = pitch.alter < 0 ? 'b'.repeat(-pitch.alter) : '#'.repeat(pitch.alter);
      return `${sign}${pitch.degree}${pitch.octave === 0 ? '' : `:${pitch.octave}`}*${length}${tie ? '-' : ''}`;
    })
    .join(' ');
}

function faultsOf(text: string): string[] {
  return reading(text).faults.map((one) => `${one.line}:${one.column} ${one.message}`);
}

describe('the notes of a tune', () => {
  it.each([
    ['C D E F | Z |', '1*1 2*1 3*1 4*1', 'crooked'],
    ['C2DE FGAB | Z |', '1*2 2*1 3*1 4*1 5*1 6*1 7*1', ''],
    ["C,2c2c'2C2 | Z |", '1:-1*2 1:1*2 1:2*2 1*2', ''],
    ['^F2F=F _B2 B2 | z8', '#4*2 #4*1 4*1 b7*2 b7*2', ''],
    ['^F2f2 F,4 | Z', '#4*2 #4:1*2 #4:-1*4', ''],
    [
      'A3/2B/ c/d/e f>g a<b | Z',
      '6*1.5 7*0.5 1:1*0.5 2:1*0.5 3:1*1 4:1*1.5 5:1*0.5 6:1*0.5 7:1*1.5',
      'crooked',
    ],
    ['(3CDE (3:2:2F2G G2 C2|Z', '1*0.6667 2*0.6667 3*0.6667 4*1.3333 5*0.6667 5*2 1*2', ''],
    // What notes of several tuplets leave.
    ['C11/1440 D1429/1440 E7 | Z', '1*0.0076 2*0.9924 3*7', ''],
    ['c4- c2 z2 | Z |', '1:1*4- 1:1*2 z*2', ''],
    ['A>>B C>>>D E4 | Z', '6*1.75 7*0.25 1*1.875 2*0.125 3*4', ''],
    ['__E2 ^^F2 x4 | Z', 'bb3*2 ##4*2 z*4', ''],
  ])('%s', (text, expected, crooked) => {
    const bars = crooked === '' ? '1 4' : text.includes('/') ? '(1....) 4' : '(1..) 4';
    const head = crooked === '' ? 'key: C\nmeter: 4/4' : 'key: C\nmeter: 4/4\ncrooked: yes';
    const tune = read(chartWith(text, bars, head));
    expect(told(tune.tune?.[0]?.bars[0]?.notes ?? [])).toBe(expected);
  });

  it.each([
    ['A', 'A2 ^G2 =G2 c2 | Z', '1*2 7:-1*2 b7:-1*2 3*2'],
    ['Am', 'A2 ^G2 =G2 c2 | Z', '1*2 7:-1*2 b7:-1*2 b3*2'],
    ['Eb', 'E2 B2 e2 D2 | Z', '1*2 5*2 1:1*2 7:-1*2'],
    ['B', 'B2 A2 c2 ^A2 | Z', '1*2 7:-1*2 2*2 7:-1*2'],
  ])('are degrees of the key %s', (key, text, expected) => {
    const chart = read(chartWith(text, '1 4', `key: ${key}\nmeter: 4/4`));
    expect(told(chart.tune?.[0]?.bars[0]?.notes ?? [])).toBe(expected);
  });

  it('tells accidentals over a bar line of a tied note only', () => {
    const chart = read(chartWith('^F8-|F4 F4|'));
    expect(told(chart.tune?.[0]?.bars[1]?.notes ?? [])).toBe('#4*4 4*4');
  });

  it('reads after a key that is named in that key, and numbers move with half steps', () => {
    const named = read(chartWith('G8 | F8 |', '1 @key=F 1', 'key: G\nmeter: 4/4'));
    expect(named.tune?.[0]?.bars.map(({ notes }) => told(notes))).toEqual(['1*8', '1*8']);
    const moved = read(chartWith('G8 | G8 |', '1 @key-2 1', 'key: G\nmeter: 4/4'));
    const pitches = (chart: Chart): number[] =>
      playedTune(chart, unroll(chart).bars, { home: chart.key }).map(({ pitch }) => pitch);
    expect(pitches(named)).toEqual([67, 65]);
    expect(pitches(moved)).toEqual([67, 65]);
  });

  it('counts sixteenths in meters below 3/4', () => {
    const chart = read(chartWith('C4 D4 | Z', '1 4', 'key: C\nmeter: 2/4'));
    expect(told(chart.tune?.[0]?.bars[0]?.notes ?? [])).toBe('1*2 2*2');
  });
});

describe('faults of a tune', () => {
  it.each([
    [
      'C8 | D7 |',
      '9:10 bar 2 of the tune of “V” has 7 eighths, but the section’s bar, in 4/4, has 8 eighths: 1 eighth is missing; the last bar may be shorter by the length of the pick-up',
    ],
    ['C4 H4 | D8 |', '9:8 “H” is a sign for how a note is played; leave it out'],
    ['C4 [CE]4- | D8 |', '9:8 a tune has one note at a time; write only the highest note of this chord'],
    [
      'C4 h4> | D8 |',
      '9:8 “h” is not a note; notes are C D E F G A B, an octave higher c d e f g a b, and rests are z',
    ],
    [
      'C8 D | D8 |',
      '9:5 bar 1 of the tune of “V” has 9 eighths, but the section’s bar, in 4/4, has 8 eighths: 1 eighth too many',
    ],
    [
      'C8 |',
      '9:5 the tune of “V” has 1 bar, and the section 2 bars; write one bar here for each bar written in the section, including endings; a pick-up may come before them',
    ],
    [
      'C8 | C8 | C8 |',
      '9:5 the tune of “V” has one bar more than the section, and its first bar is too long for a pick-up; a pick-up is shorter than a bar',
    ],
    [
      'C4-D4 | Z',
      '9:5 the note after this tie has another pitch; a tie joins two notes of the same pitch, so leave out the - or write the same note',
    ],
    ['(3CD | Z', '9:5 this tuplet needs 1 more note before its bar ends'],
    [
      '|: C8 | C8 :|',
      '9:5 no repeat begins at this bar of the section, and the tune has the same repeats; write |',
    ],
    ['"G"C8 | C8', '9:5 a tune has no chord symbols or words; they belong in the section'],
    ['{c}C8 | C8', '9:5 grace notes are not kept in a tune; leave out the braces and what is in them'],
    ['[CE]8 | C8', '9:5 a tune has one note at a time; write only the highest note of this chord'],
    [
      'C8 | h C8',
      '9:10 “h” is not a note; notes are C D E F G A B, an octave higher c d e f g a b, and rests are z',
    ],
    ['(CD) C6 | C8', '9:5 slurs are not kept in a tune; leave them out, and write - after a note for a tie'],
    [
      'C8 | C2000',
      '9:10 “2000” is not a length; write 2, 3/2, / or /4 after the note, up to 999 times the unit',
    ],
  ])('%s', (text, fault) => {
    expect(faultsOf(chartWith(text))[0]).toBe(fault);
  });

  it('tells sections that are not there, and those without bars of their own', () => {
    expect(faultsOf('title: T\nkey: C\nsections:\n  V: |\n    1\ntune:\n  W: |\n    C8\n')[0]).toBe(
      '7:3 there is no section “W”; did you mean “V”?; a tune has an entry for each of V',
    );
    expect(
      faultsOf(
        'title: T\nkey: C\nsections:\n  V: |\n    1\n  W: all of V\nform: V, W\ntune:\n  W: |\n    C8\n',
      )[0],
    ).toBe(
      '9:3 section “W” has no bars of its own: what it takes from other sections keeps their tune; leave this entry out',
    );
  });
});

describe('a tune as it is played', () => {
  const played = (text: string, bars: string, key?: Chart['key']): string => {
    const chart = read(chartWith(text, bars));
    const home = key ?? chart.key;
    return playedTune(chart, unroll(chart, { key: home, final: true }).bars, { home })
      .map(({ bar, at, pitch, tied }) => `${bar}+${(2 * at) / partsPerQuarter}:${pitch}${tied ? '~' : ''}`)
      .join(' ');
  };

  it('plays repeats and endings as the section has them, with the pick-up where there is room', () => {
    expect(played('C | |: D8 | [1 E7 :| [2 F8 |', '|: 1 [1st 4] [2nd 5] :|')).toBe(
      '-1+-1:60 0+0:62 1+0:64 1+7:60 2+0:62 3+0:65',
    );
    expect(played('C | D8 | E6 FG :|', '|: 1 4 :|')).toBe(
      '-1+-1:60 0+0:62 1+0:64 1+6:65 1+7:67 2+0:62 3+0:64 3+6:65 3+7:67',
    );
  });

  it('ties over bar lines', () => {
    expect(played('C8- | C4 D4 |', '1 4')).toBe('0+0:60 1+0:60~ 1+4:62');
  });

  it('is as near as it can be to where it is written, in every key', () => {
    const low = { tonic: 'A', mode: 'major' } as const;
    expect(played('C8 | G8 |', '1 4', low)).toBe('0+0:57 1+0:64');
    expect(played('C8 | G8 |', '1 4', { tonic: 'F', mode: 'major' })).toBe('0+0:65 1+0:72');
  });
});

const withTune = fc.tuple(generatedPlainChart, seeds).map(([text, seed]): Chart => {
  const chart = read(text);
  const tune = tuneFor(chart, seed);
  return tune.length > 0 ? { ...chart, tune } : chart;
});

/** The notes by their height and length: #7 of G sharp, which would need three sharps, is written as 1. */
function heights({ tune = [] }: Chart): unknown {
  const plain = (notes: readonly TuneNote[]): unknown =>
    notes.map(({ pitch, ...rest }) => ({ ...rest, height: pitch && pitchHeight(pitch) }));
  return tune.map(({ pickup, bars, ...rest }) => ({
    ...rest,
    pickup: plain(pickup),
    bars: bars.map(({ notes }) => plain(notes)),
  }));
}

describe('properties', () => {
  it('a tune is written so that every note and length is read again', () => {
    fc.assert(
      fc.property(withTune, (chart) => {
        expect(heights(read(writeChart(chart)))).toEqual(heights(chart));
      }),
      { numRuns: 60 },
    );
  });

  it('a chart in another key sounds the same, moved, whether its text or the chart is moved', () => {
    const keys = fc.constantFrom('C', 'D', 'Eb', 'F#', 'A', 'Bb');
    fc.assert(
      fc.property(withTune, keys, (chart, tonic) => {
        const key = { tonic, mode: chart.key.mode };
        const text = writeChart(chart);
        const moved = textInKey(text, chart, key);
        if (!moved.ok) return;
        const sound = (one: Chart): readonly unknown[] =>
          playedTune(one, unroll(one, { key, final: true }).bars, { home: key }).map(
            ({ note: _, ...rest }) => rest,
          );
        const heard = sound(chart);
        expect(sound(read(moved.value))).toEqual(heard);
        expect(sound(read(writeChart(chartInKey(chart, key))))).toEqual(heard);
      }),
      { numRuns: 40 },
    );
  });
});
