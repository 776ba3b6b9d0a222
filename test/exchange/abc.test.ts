import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { abcMusic } from '../../src/exchange/abc-music.js';
import { abcChord, abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { withoutMelody } from '../../src/exchange/melody.js';
import { chartFromSheet } from '../../src/exchange/sheet-to-chart.js';
import { chordName } from '../../src/theory/chord.js';

const text = readFileSync(new URL('../fixtures/tunes.abc', import.meta.url), 'utf8');
const tunes = abcTunes(text);

function brought(number: number) {
  const tune = tunes.find((one) => one.number === number);
  if (!tune) throw new Error('no such tune');
  const read = withoutMelody(readAbc(tune));
  const { chart, remarks } = chartFromSheet(read.sheet);
  const all = [...read.remarks, ...remarks].map(
    ({ place, message }) => `${place.line}:${place.column} ${message}`,
  );
  return { chart, chords: read.chords, remarks: all, written: writeChart(chart) };
}

/** Reads a tune's body in 4/4, unit an eighth, in G, and writes its sections. */
function sections(body: string, head = 'M:4/4\nL:1/8\nK:G'): string {
  const [tune] = abcTunes(`X:1\nT:T\n${head}\n${body}\n`);
  if (!tune) throw new Error('no tune');
  const written = writeChart(chartFromSheet(withoutMelody(readAbc(tune)).sheet).chart);
  return written.slice(written.indexOf('sections:\n') + 10);
}

describe('the tunes of a file', () => {
  it('are found by their X: fields, with titles and lines', () => {
    expect(tunes.map(({ number, title, first }) => `${number} ${title} ${first}`)).toEqual([
      '1 Towpath Reel 4',
      '2 Heron on the Weir 17',
      "3 The Lock-keeper's Hat 26",
      '4 No Chords Here 33',
      '5 Odd Bits 40',
    ]);
  });
});

describe('a tune brought in', () => {
  it('has key and mode, tempo, parts in their order, repeats and endings, split bars, a pick-up', () => {
    const { written, remarks } = brought(1);
    expect(written).toBe(`title: Towpath Reel
by: the Osier Lock players
key: Am
tempo: 184
meter: 4/4
pickup: 1
form: A, A, B, B
sections:
  A: |
    |: 1- b7 (1- 4) [1st (5- 1-) ] :| [2nd (5- 1-) ]
  B: |
    |: 1- b7 b6 (5- 1-) :|
`);
    expect(remarks).toEqual([
      '11:1 A dorian is read as Am, because of its minor third: the tonic stays, and its sixth is written as 6',
      '11:1 the melody is left out: 49 notes',
    ]);
  });

  it('in 6/8 counts dotted quarters, and finds chords within the bar', () => {
    const { chart, written } = brought(2);
    expect(written).toBe(`title: Heron on the Weir
key: G
tempo: dotted=108
meter: 6/8
pickup: 1
form: A, B
sections:
  A: |
    |: 1 (4 1) (2- 5^7) [1st 1 ] :| [2nd 1 ]
  B: |
    |: 6- (4 5) (1/3 4) (5^7 1) :|
`);
    const bars = unroll(chart).bars.map(({ cells }) =>
      cells.map(({ chord }) => chord && chordName(chord)).join(' '),
    );
    expect(bars.slice(0, 8)).toEqual(['G', 'C G', 'Am D7', 'G', 'G', 'C G', 'Am D7', 'G']);
  });

  it('writes nc with a cue for a chord that cannot be read, and tells where it is', () => {
    const { written, remarks } = brought(3);
    expect(written).toContain('1- 4- 5^7 1- "slowly" b3 b7 "Hx9" nc 1-');
    expect(remarks).toContain('31:64 “Hx9” is not a known chord: nc is written, with this text as a cue');
    expect(remarks).toContain('26:1 there is no readable tempo; 120 is assumed');
  });

  it('without chords says so', () => {
    expect(brought(4).chords).toBe(0);
  });

  it('takes the first voice, counts tuplets, broken rhythm, grace notes and rests of many bars, and tells what is left out', () => {
    const { written, remarks } = brought(5);
    expect(written).toContain('    (1 b7) b7 b7 1 (4... 5.)\n');
    expect(remarks).toContain('47:1 left out: lyrics');
    expect(remarks).toContain('48:1 left out: voices other than 1, the first that has chords');
    expect(readChart(new TextEncoder().encode(written)).ok).toBe(true);
  });
});

describe('music', () => {
  // Lengths by ABC 2.1: 4.3 note lengths, 4.4 broken rhythm, 4.5 rests, 4.13 tuplets.
  it.each([
    ['A', [1]],
    ["A2 A/ A/2 A// A3/2 ^A,2 _b'4", [1 + 1, 0.5, 0.5, 0.25, 1.5, 2, 4]],
    ['A>B A<B A>>B', [1.5, 0.5, 0.5, 1.5, 1.75, 0.25]],
    ['(3ABc (2AB', [2 / 3, 2 / 3, 2 / 3, 1.5, 1.5]],
    ['(3:2:2AB c', [2 / 3, 2 / 3, 1]],
    ['[CEG]2 [C2E2G2] z2 x', [2, 2, 2, 1]],
    ['!trill!A {gf}A .A ~A -A (AB)', [1, 1, 1, 1, 1, 1, 1]],
  ])('%s lasts so long', (body, lengths) => {
    const times = abcMusic(body, 1, false).flatMap((token) => (token.kind === 'time' ? [token.length] : []));
    expect(times.map((time) => time.toFixed(4))).toEqual(lengths.map((time) => time.toFixed(4)));
  });

  it.each([
    ['|', null, false],
    ['||', null, false],
    ['|]', null, false],
    ['[|', null, false],
    ['|:', null, true],
    [':|', 2, false],
    ['::', 2, true],
    [':|:', 2, true],
    [':||:', 2, true],
    ['::|', 3, false],
  ] as const)('the bar line %s', (line, closes, opens) => {
    const [, bar] = abcMusic(`A${line}`, 1, false);
    expect(bar).toMatchObject({ kind: 'bar', closes, opens });
  });

  it.each([
    ['C|1 ', [1]],
    ['C| [1,3 ', [1, 3]],
    ['C:|2', [2]],
    ['C|[1-3', [1, 2, 3]],
  ])('the ending in %s', (line, times) => {
    expect(abcMusic(line, 1, false).find(({ kind }) => kind === 'ending')).toMatchObject({ times });
  });
});

describe('chord symbols', () => {
  // ABC 2.1, 4.18: note, accidental, type, bass; the bass in either case.
  it.each([
    ['C', 'C'],
    ['Am7', 'Am7'],
    ['F#dim', 'F#dim'],
    ['Bb', 'Bb'],
    ['Gsus', 'Gsus4'],
    ['D/F#', 'D/F#'],
    ['G/b', 'G/B'],
    ['Caug', 'Caug'],
    ['C+', 'Caug'],
    ['Emin', 'Em'],
    ['H', null],
  ])('%s', (symbol, name) => {
    const chord = abcChord(symbol);
    expect(chord ? chordName(chord) : null).toBe(name);
  });
});

describe('bars', () => {
  it.each([
    ['go on with the chord before', '"G"G8|G8|"C"C4 C4|C8|', '  A: |\n    1 1 4 4\n'],
    [
      'share their beats as the chords stand',
      '"G"G2 "C"C6|"G"G6 "D"D2|',
      '  A: |\n    (1. 4...) (1... 5.)\n',
    ],
    ['begin without a chord where there is none yet', 'G8|"C"C8|', '  A: |\n    nc 4\n'],
    [
      'repeat from the beginning where no sign says where',
      '"G"G8|"C"C8:|"D"D8|',
      '  A: |\n    |: 1 4 :|\n  B: |\n    5\n',
    ],
    ['change meter and key', '"G"G8|[M:3/4]"C"C6|[K:A]"A"A6|', '  A: |\n    1 @3/4 4 @key+2 1\n'],
    ['change the mode', '"G"G8|[K:Gm]"Gm"G8|[K:Em]"Em"E8|', '  A: |\n    1 @key=Gm 1- @key-3 1-\n'],
    [
      'change the key in a repeat, which begins again in its own',
      '|:"G"G8|[K:A]"A"A8:|"A"A8|',
      '  A: |\n    |: @key=G 1 @key=A 1 :|\n  B: |\n    1\n',
    ],
    [
      'change the key in a repeat’s endings',
      '|:"G"G8|1 [K:A]"A"A8:|2 "A"A8|',
      '  A: |\n    |: @key=G 1 [1st @key=A 1 ] :| [2nd @key=A 1 ]\n',
    ],
    ['that are crooked have their dots', '"G"G8|"C"C4|"G"G8|', '  A: |\n    1 (4..) 1\n'],
    [
      'of broken beats have a meter of their own',
      '"G"G8|"C"C7|"D"D7|"G"G8|',
      '  A: |\n    1 @7/8 4 5 @4/4 1\n',
    ],
    [
      'of broken beats share it as their chords stand',
      '"G"G8|"C"C4"D"D3|"G"G8|',
      '  A: |\n    1 @7/8 (4.... 5...) @4/4 1\n',
    ],
    [
      'of broken beats at the end of a repeat have its first say the meter again',
      '"D"D8|"G"G8||:"G"G8|"C"C8|"C"C7:|"G"G8|',
      '  A: |\n    5 1\n  B: |\n    |: @4/4 1 4 @7/8 4 :|\n  C: |\n    @4/4 1\n',
    ],
    [
      'of broken beats in an ending, too',
      '|:"G"G8|[1"C"C7:|[2"D"D8|"G"G7|]',
      '  A: |\n    |: @4/4 1 [1st @7/8 4 ] :| [2nd @4/4 5 @7/8 1 ]\n',
    ],
    ['have cues from words above them', '"^stop""G"G8|', '  A: |\n    "stop" 1\n'],
  ])('%s', (_, body, wanted) => {
    expect(sections(body)).toBe(wanted);
  });

  it.each([
    ['"G"G8|"C"C13/2|"G"G8|', 'a bar of 3.25 beats is written with 3'],
    [`"G"${'G8'.repeat(5)}"C"${'C8'.repeat(5)}|`, 'a bar as long as 10 is written as 10 bars'],
    ['"G"G8 "D"|"C"C8|', 'a chord after the last note of its bar is left out'],
    ['|:"G"G8|"C"C8|', 'a repeat without an end is left out'],
    ['"G"G2"C"C"D"D5|', 'two chords on beat 2: C is kept and D is left out'],
  ])('what is not as it stands is said: %s', (body, told) => {
    const [tune] = abcTunes(`X:1\nM:4/4\nL:1/8\nK:G\n${body}\n`);
    if (!tune) throw new Error('no tune');
    const { chart, remarks } = chartFromSheet(withoutMelody(readAbc(tune)).sheet);
    expect(remarks.map(({ message }) => message)).toContain(told);
    expect(readChart(new TextEncoder().encode(writeChart(chart))).ok).toBe(true);
  });

  it('in 6/8 that are not whole dotted quarters have a meter in eighths or quarters', () => {
    expect(sections('"G"G6|"C"C4|"D"D5|"G"G3|', 'M:6/8\nL:1/8\nK:G')).toBe(
      '  A: |\n    1 @2/4 4 @5/8 5 @6/8 (1.)\n',
    );
  });

  it('a tempo that counts other notes is counted as the head does', () => {
    expect(sections('"G"G8|[Q:1/4=120]"C"C8|', 'M:4/4\nL:1/8\nQ:1/2=90\nK:G')).toBe(
      '  A: |\n    1 @tempo=60 4\n',
    );
  });

  it.each([
    ['M:2/2', '"G"G6 "D"D2|', '(1... 5.)'],
    ['M:2/2', '"G"G2 "C"C2 "D"D4|', '(1. 4. 5..)'],
    ['M:6/8', '"G"G2 "D"D4|', '(1.. 5....)'],
    ['M:6/8', '"G"G2 "C"C2 "D"D2|', '(1.. 4.. 5..)'],
    ['M:6/8', '"G"G3 "D"D3|', '(1 5)'],
    ['M:4/4', '"G"G4 "C"C2 "D"D2|', '(1.. 4. 5.)'],
  ])('in %s the chords of %s stay where they are', (meter, bar, expected) => {
    const [tune] = abcTunes(`X:1\n${meter}\nL:1/8\nK:G\n${bar}\n`);
    if (!tune) throw new Error('no tune');
    const { chart, remarks } = chartFromSheet(withoutMelody(readAbc(tune)).sheet);
    expect(remarks).toEqual([]);
    expect(writeChart(chart)).toContain(`\n    ${expected}\n`);
    expect(chart.crooked).toBe(false);
  });

  it.each([
    // In a chart with a short bar dots count felt beats alone, so the chord is moved as before.
    [
      'M:2/2\nL:1/8\nK:G\n"G"G8|"G"G6 "D"D2|"G"G4|"G"G8|',
      'a chord off the beat is moved to beat 2 of its bar',
    ],
    ['M:2/2\nL:1/8\nK:G\n"G"G3 "D"D5|', 'a chord between the beats is moved to quarter 2 of its bar'],
    ['M:6/8\nL:1/16\nK:G\n"G"G3 "D"D9|', 'a chord between the beats is moved to eighth 2 of its bar'],
    ['M:4/4\nL:1/4\nK:G\n(3:2:3"G"G2"C"C2"D"D2|', 'a chord off the beat is moved to beat 2 of its bar'],
  ])('what cannot stay where it is is put onto what can, and that is said: %j', (body, told) => {
    const [tune] = abcTunes(`X:1\n${body}\n`);
    if (!tune) throw new Error('no tune');
    const { chart, remarks } = chartFromSheet(withoutMelody(readAbc(tune)).sheet);
    expect(remarks.map(({ message }) => message)).toContain(told);
    expect(readChart(new TextEncoder().encode(writeChart(chart))).ok).toBe(true);
  });

  it('a chord off the beat is put onto one, and that is said', () => {
    const [tune] = abcTunes('X:1\nM:4/4\nL:1/8\nK:G\n"G"G3 "C"C5|\n');
    if (!tune) throw new Error('no tune');
    const { remarks } = chartFromSheet(withoutMelody(readAbc(tune)).sheet);
    expect(remarks.map(({ message }) => message)).toEqual([
      'a chord off the beat is moved to beat 2 of its bar',
    ]);
  });
});

describe('a short bar at the beginning of a section', () => {
  it.each([
    [
      'of which the one before is made full is a pick-up of it, with its chord',
      '"G"G8|"C"C6||"D"D2|"G"G8|"C"C8|]',
      '  A: |\n    1 (4... 5.)\n  B: |\n    1 4\n',
      [],
    ],
    [
      'that its own end makes full is a pick-up, with its chord where it is played again',
      '"G"G8||:"D"D2|"G"G8|"C"C6:|',
      '  A: |\n    1\n  B: |\n    |: 1 (4... 5.) :|\n',
      [],
    ],
    [
      'that the first ending makes full',
      '"G"G8||:G2|"G"G8|[1"C"C6:|[2"D"D8|]',
      '  A: |\n    1\n  B: |\n    |: 1 [1st 4 ] :| [2nd 5 ]\n',
      [],
    ],
    [
      'that nothing makes full stays',
      '"G"G8|"C"C8||"D"D2|"G"G8|]',
      '  A: |\n    1 4\n  B: |\n    (5.) 1\n',
      ['a section begins with a bar of 1 beat that no other bar completes: it stays a separate bar'],
    ],
    [
      'with a chord where there is another already is told',
      '|:"D"D2|"G"G8|"C"C6:||:"F"F2|"G"G8|"C"C6:|',
      '  A: |\n    |: 1 (4... 5.) :|\n  B: |\n    |: 1 (4... b7.) :|\n',
      Array(2).fill('the chord of a pick-up is left out: the pick-up is played in the bar before'),
    ],
  ])('%s', (_, body, wanted, told) => {
    expect(sections(body)).toBe(wanted);
    const [tune] = abcTunes(`X:1\nM:4/4\nL:1/8\nK:G\n${body}\n`);
    if (!tune) throw new Error('no tune');
    expect(chartFromSheet(withoutMelody(readAbc(tune)).sheet).remarks.map(({ message }) => message)).toEqual(
      told,
    );
  });

  it('an ending of a short bar is none', () => {
    expect(sections('G2|:"G"G8|[1"C"C8:|[2"D"D6|]')).toBe('  A: |\n    |: 1 [1st 4 ] :| [2nd 5 ]\n');
  });

  it('a pick-up of a part of a beat is told', () => {
    const [tune] = abcTunes('X:1\nM:4/4\nL:1/8\nK:G\nG|"G"G8|"C"C7|]\n');
    if (!tune) throw new Error('no tune');
    const { chart, remarks } = chartFromSheet(withoutMelody(readAbc(tune)).sheet);
    expect([chart.pickup, remarks.map(({ message }) => message)]).toEqual([
      1,
      ['a pick-up of 0.5 beats is written as 1'],
    ]);
  });
});

describe('the head of a file', () => {
  it('has fields that hold for every tune', () => {
    const [first, second] = abcTunes(
      '%abc-2.1\nM:3/4\nL:1/4\nQ:1/4=140\n\nX:1\nK:G\n"G"G3|\n\nX:2\nM:C|\nK:D\n"D"D4|\n',
    );
    if (!first || !second) throw new Error('no tunes');
    expect(readAbc(first).sheet).toMatchObject({ meter: { beats: 3, unit: 4 }, tempo: { bpm: 140 } });
    expect(readAbc(second).sheet).toMatchObject({ meter: { beats: 2, unit: 2 }, tempo: { bpm: 140 } });
  });
});

describe('shapes below the chords', () => {
  it('are not taken for cues', () => {
    const [tune] = abcTunes('X:1\nK:G\n"_7-5-2-3""G"G8|"_slow""C"C8|\n');
    if (!tune) throw new Error('no tune');
    const { sheet, remarks } = readAbc(tune);
    expect(sheet.bars.map(({ cues }) => cues)).toEqual([[], ['slow']]);
    expect(remarks.map(({ message }) => message)).toContain('left out: shapes below the chords');
  });
});

describe('a note without end', () => {
  it('makes no more bars than can be read', () => {
    const [tune] = abcTunes('X:1\nM:4/4\nL:1/8\nK:G\n"G"G99999999999999999999|"C"C99999999|"D"D8|\n');
    if (!tune) throw new Error('no tune');
    const { chart, remarks } = chartFromSheet(withoutMelody(readAbc(tune)).sheet);
    expect(unroll(chart).bars.length).toBeLessThanOrEqual(2001);
    expect(remarks.map(({ message }) => message)).toContain('the rest of a very long bar is left out');
    expect(readChart(new TextEncoder().encode(writeChart(chart))).ok).toBe(true);
  });
});

describe('any text', () => {
  it('is a chart, or nothing, and always something that can be written and read', () => {
    const bits = fc.array(
      fc.constantFrom(
        'X:1\n',
        'K:G\n',
        'M:6/8\n',
        'M:C|\n',
        'L:1/8\n',
        'P:A\n',
        '"G"',
        '"Am7/e"',
        '"^x"',
        '|:',
        ':|',
        '[1',
        '|2',
        '||',
        'A2',
        'z',
        'z9999999',
        'Z3',
        '(3ABc',
        '[K:D]',
        '[M:5/4]',
        '{',
        '"',
        '[',
        ']',
        '\n',
        '!',
        'Q:1/4=9\n',
        'w:la\n',
        '\u0000',
        '𝄞',
        '%',
        '\\',
      ),
      { maxLength: 60 },
    );
    fc.assert(
      fc.property(bits, (parts) => {
        for (const tune of abcTunes(`X:1\nK:C\n${parts.join('')}`)) {
          const read = readAbc(tune);
          if (read.sheet.bars.length === 0) continue;
          const { chart } = chartFromSheet(read.sheet);
          const again = readChart(new TextEncoder().encode(writeChart(chart)));
          expect(again.ok ? [] : again.faults).toEqual([]);
        }
      }),
      { numRuns: 1000 },
    );
  }, 60_000);

  it('of any bytes does not throw', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 400 }), (some) => {
        for (const tune of abcTunes(`X:1\nK:C\n${some}`))
          expect(readAbc(tune).chords).toBeGreaterThanOrEqual(0);
      }),
      { numRuns: 1000 },
    );
  });
});

describe('a tune that would be played without end', () => {
  it('is written once through, and that is said', () => {
    const bars = '"G"G8|'.repeat(3000);
    const [tune] = abcTunes(`X:1\nM:4/4\nL:1/8\nP:A9\nK:G\nP:A\n${bars}\n`);
    if (!tune) throw new Error('no tune');
    const { chart, remarks } = chartFromSheet(withoutMelody(readAbc(tune)).sheet);
    expect(unroll(chart).bars).toHaveLength(3000);
    expect(remarks.map(({ message }) => message)).toContain(
      'as written it would play more than 10000 bars: repeats and form are left out',
    );
  });
});
