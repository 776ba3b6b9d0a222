import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { importLetters } from '../../src/chart/import-letters.js';
import { readChart } from '../../src/chart/read.js';
import { parseKey } from '../../src/theory/key.js';

function bring(sheet: string, key = 'A', skipWords = false, { keepWords = false, meterText = '4/4' } = {}) {
  const read = parseKey(key);
  if (!read.ok) throw new Error(key);
  return importLetters(sheet, {
    title: 'Reed Bend',
    key: read.value,
    keyText: key,
    tempoText: '200',
    meterText,
    skipWords,
    keepWords,
  });
}

describe('importLetters', () => {
  it('makes phrases of lines, bars of chords or of what stands between bar lines, sections of headings', () => {
    const { text, faults } = bring('Verse:\nA A D A\n| E A | % | F#m | A |\n\n[Chorus]\nD A/C# Bm7 nc x2\n');
    expect(faults).toEqual([]);
    expect(text).toBe(`title: "Reed Bend"
key: A
tempo: 200
meter: 4/4
form: Verse, Chorus
sections:
  Verse: |
    1 1 4 1
    (5 1) = 6- 1
  Chorus: |
    |: 4 1/3 2-^7 nc :|
`);
    expect(readChart(new TextEncoder().encode(text)).ok).toBe(true);
  });

  it.each([
    ['A / / / D / / /', '4/4', '1 4'],
    ['A . . . D . . .', '4/4', '1 4'],
    ['A / D / E / / /', '4/4', '(1 4) 5'],
    ['A // D E / / / A ...', '4/4', '(1... 4.) 5 1'],
    ['A / / / / / / / E / / /', '4/4', '1 1 5'],
    ['A / / / / / D / / / / /', '3/4', '1 1 4 4'],
    ['A / D / / / / /', '4/4', '(1 4) 4'],
    ['A / D /', '6/8', '1 4'],
    ['A / / D / /', '6/8', '(1 4)'],
    ['A / / / D / / /', '2/2', '1 1 4 4'],
    ['| A / / D | / / / / | / E / / |', '4/4', '(1... 4.) 4 (4. 5...)'],
    ['| A / / D / / |', '6/8', '(1 4)'],
    ['| A / D / | E |', '2/2', '(1 4) 5'],
  ])('counts slashes and dots as beats in %s of %s', (sheet, meter, wanted) => {
    const { text, faults } = bring(`${sheet}\n`, 'A', false, { meterText: meter });
    expect(faults).toEqual([]);
    expect(text).toContain(`  A: |\n    ${wanted}\n`);
  });

  it.each([
    [
      'A / / / D / /',
      '4/4',
      1,
      '7 beats do not fill whole bars of 4/4, which has 4; after a chord, write a slash for each further beat, or put | between the bars',
    ],
    [
      '| A / / / | D / |',
      '4/4',
      13,
      '2 beats do not fill a bar of 4/4, which has 4; after a chord, write a slash for each further beat',
    ],
    [
      '| A / / |',
      '6/8',
      3,
      '3 beats do not fill a bar of 6/8, which has 2 or 6; after a chord, write a slash for each further beat',
    ],
    ['/ / A /', '4/4', 1, '“/” is a further beat of a chord, but there is no chord before it'],
  ])('refuses beats that fill no bar: %s of %s', (sheet, meter, column, message) => {
    expect(bring(`${sheet}\n`, 'A', false, { meterText: meter }).faults[0]).toMatchObject({
      line: 1,
      column,
      message,
    });
  });

  it('tells once how lines without bar lines were read', () => {
    const told = (sheet: string) =>
      bring(sheet).remarks.map(({ place, message }) => `${place.line} ${message.slice(0, 60)}`);
    expect(told('Verse:\nA    D  E\nA A\n')).toEqual([
      '2 there are no bar lines, so each chord is read as a bar; if c',
    ]);
    expect(told('A / D /\n| A D | E |\nA D\n')).toEqual([
      '1 there are no bar lines, so slashes and dots are read as beat',
      '3 there are no bar lines, so each chord is read as a bar; if c',
    ]);
    expect(told('| A D | E |\nA\n')).toEqual([]);
  });

  it('asks about what is not a chord, with its place, and leaves lines of words out only when told to', () => {
    const sheet = 'A D E A\nA river of words\n';
    expect(bring(sheet).faults.map(({ line, column }) => [line, column])).toEqual([
      [2, 3],
      [2, 9],
      [2, 12],
    ]);
    const skipped = bring(sheet, 'A', true);
    expect(skipped.faults).toEqual([]);
    expect(skipped.skipped).toEqual([2]);
  });

  it('keeps lines of words where that is asked for, with the chords above them, or below in a section that begins with words', () => {
    const sheet = 'V:\nA D E A\nthe river took\n the "road" ; down\nA E\nC:\nroll on\nD D\nyou water\nE A\n';
    const kept = bring(sheet, 'A', false, { keepWords: true });
    expect(kept.faults).toEqual([]);
    expect(kept.skipped).toEqual([]);
    expect(kept.text.split('sections:\n')[1]).toBe(
      '  V: |\n    > the river took\n    > the "road" ; down\n    1 4 5 1\n    1 5\n  C: |\n    > roll on\n    4 4\n    > you water\n    5 1\n',
    );
    const reading = readChart(new TextEncoder().encode(kept.text));
    expect(reading.ok && reading.faults).toEqual([]);
  });

  it('gives chords that do not share their bar evenly dots, and says so', () => {
    const { text, faults, remarks } = bring('| A | A |\n| A D E | D A |\n');
    expect(faults).toEqual([]);
    expect(text).toContain('    (1.. 4. 5.) (4 1)\n');
    expect(remarks).toEqual([
      {
        place: { line: 2, column: 3 },
        message: '3 chords do not share a bar of 4/4 evenly; they are written (1.. 4. 5.)',
      },
    ]);
    expect(bring('| A D | A |', 'A', false, { meterText: '3/4' }).text).toContain('    (1.. 4.) 1\n');
    expect(bring('| A D E A | A |', 'A', false, { meterText: '3/4' }).faults[0]?.message).toBe(
      '4 chords do not fit in a bar of 3/4; write at most 3, or the same number on each beat',
    );
  });

  it('gives every section a name of its own that the chart language takes', () => {
    const { text } = bring('Verse:\nA\nVerse:\nD\n[1. part!]\nE\n');
    expect(text).toContain('form: Verse, Verse 2, S 1 part');
    expect(readChart(new TextEncoder().encode(text)).ok).toBe(true);
  });

  it.each([
    ['The Copper Mill\n\nA D\ndown by it\nE A\nall day\n', [], '> down by it / 1 4 / > all day / 5 1'],
    ['The Copper Mill\nA D\ndown by it\nE A\nall day\n', [1], '> down by it / 1 4 / > all day / 5 1'],
    ['words one\nA D\nwords two\nE A\n', [], '> words one / 1 4 / > words two / 5 1'],
    ['Verse\nA D\ndown by it\nE A\nall day\n', [], '> down by it / 1 4 / > all day / 5 1'],
    ['words one\nA D\nwords two\nE A\nD D\n', [1], '> words two / 1 4 / 5 1 / 4 4'],
  ])('keeps words with their own chords behind a title: %s', (sheet, left, wanted) => {
    const { text, faults, skipped } = bring(sheet, 'A', false, { keepWords: true });
    expect(faults).toEqual([]);
    expect(skipped).toEqual(left);
    const lines = text
      .split(/ {2}(?:A|Verse): \|\n/)[1]
      ?.trim()
      .split(/\n */);
    expect(lines?.join(' / ')).toBe(wanted);
  });

  it.each([
    ['| Em D | C... G. |', 10, '“C...”: write a dot after the chord for each further beat: “C . . .”'],
    ['G//// C', 1, '“G////”: write a slash after the chord for each further beat: “G / / / /”, or “G / / /”'],
    ['| G(hold) |', 3, 'write the chord alone, “G”'],
    ['G <G> C', 3, 'write the chord alone, “G”; ringing is marked'],
    ['G C\n(2x)', 1, 'how often it is played: “x2”'],
    ['G, C', 1, 'only a space between chords: “G”'],
    ['[G]Down by the [C]water', 1, 'write them on a line above the words: “G C”'],
  ])('says what is meant by other writings: %s', (sheet, column, message) => {
    for (const keepWords of [false, true]) {
      const [fault] = bring(`A D\n${sheet}\n`, 'A', false, { keepWords }).faults;
      expect(fault?.column).toBe(column);
      expect(fault?.message).toContain(message);
    }
  });

  it('reads a heading with its line, and leaves to flags what the head says', () => {
    const { text, faults, remarks } = bring(
      'Title: Reed Bend\nKey: G\nVerse: A D | E A\nIntro - A D (2x)\nD G(hold)\n',
    );
    expect(faults).toMatchObject([{ line: 5, column: 3 }]);
    expect(text).toContain('  Verse: |\n    (1 4) (5 1)\n  Intro: |\n    |: 1 4 :|\n');
    expect(remarks.slice(0, 2).map(({ message }) => message.split(': ')[1])).toEqual([
      '--title "Reed Bend"',
      '--key G',
    ]);
  });

  it('takes single letters for headings where they go on like parts, and else says how to write one', () => {
    const parts = bring('A\nA\nD E\nA\n\nB\nF#m D\nA E\n');
    expect(parts.text).toContain('  A: |\n    1\n    4 5\n    1\n  B: |\n    6- 4\n    1 5\n');
    expect(parts.remarks.map(({ place }) => place.line)).toEqual([1, 3, 6]);
    const one = bring('A D\n\nE\nA D\n');
    expect(one.text).toContain('  A: |\n    1 4\n    5\n    1 4\n');
    expect(one.remarks.at(-1)?.message).toBe('“E” is read as a chord; a section’s heading has a colon: “E:”');
  });

  it('takes what parts are called for headings without a colon', () => {
    const { text, faults } = bring('Verse 1\nA D\nB part\nD E\n2nd Chorus\nA A\n');
    expect(faults).toEqual([]);
    expect(text).toContain('form: Verse 1, B part, S 2nd Chorus\n');
  });

  it.each([
    ['| A | D |\n|: F#m | D | E | A :|', '1 4\n    |: 6- 4 5 1 :|'],
    ['|: F#m | D :| x3', '|: 6- 4 :| x3'],
    ['|: F#m | D :| (x3) | A |', '|: 6- 4 :| x3 1'],
    ['|: F#m | D :|x4 A |', '|: 6- 4 :| x4 1'],
    ['|: A | D |1. E | A :|2. E7 | A ||', '|: 1 4 [1st 5 1 ] [2nd 5^7 1 ] :|'],
    ['|: A | D |[1 E | A :|[2 E7 | A ]', '|: 1 4 [1st 5 1 ] [2nd 5^7 1 ] :|'],
    ['|: A | D | [1,2 E | A ] :| [3 E7 | A ] || D |', '|: 1 4 [1st,2nd 5 1 ] [3rd 5^7 1 ] :| 4'],
    ['|: A | D |\n|1 E | A :|\n|2 E7 | A |\nD D', '|: 1 4\n    [1st 5 1 ]\n    [2nd 5^7 1 ] :|\n    4 4'],
    ['|: A | D :|: E | A :|', '|: 1 4 :| |: 5 1 :|'],
    ['| A | ./. | % | D |', '1 = = 4'],
  ])('reads repeats and endings with bar lines: %s', (sheet, wanted) => {
    const { text, faults } = bring(sheet, 'A', false, { keepWords: true });
    expect(faults).toEqual([]);
    expect(text.split('  A: |\n    ')[1]).toBe(`${wanted}\n`);
    const reading = readChart(new TextEncoder().encode(text));
    expect(reading.ok && reading.faults.filter(({ severity }) => severity === 'error')).toEqual([]);
  });

  it.each([
    ['| A | D :|', 'has no “|:” before it'],
    ['|: A | D |', 'has no “:|” after it'],
    ['|: A |: D :|', 'is inside another repeat; write :|'],
    ['|: :|', 'there is no bar before “:|”'],
    ['| A |1. D |', 'an ending belongs to a repeat'],
    ['|: A :| x1', '“x1” does not repeat anything'],
    ['| A | D.S. al Coda |', '“.S.”'],
    ['A D G(hold) E', '“G(hold)”'],
  ])('never takes a line of chords for words: %s', (sheet, message) => {
    for (const keepWords of [false, true]) {
      const { faults } = bring(`A D\n\n${sheet}\n`, 'A', true, { keepWords });
      expect(faults[0]).toMatchObject({ line: 3 });
      expect(faults[0]?.message).toContain(message);
      expect(faults[0]?.message).not.toContain('--skip-words');
    }
  });

  it('makes of any text a chart that reads, or faults with places', () => {
    const line = fc.oneof(
      fc.string({ unit: fc.constantFrom(...'ABDEFGm7#b/|%x012 []:'), maxLength: 20 }),
      fc
        .array(fc.constantFrom('|', '|:', ':|', '||', '|1.', '[2', 'A', 'D', '%', 'x3', ']'), {
          maxLength: 12,
        })
        .map((words) => words.join(' ')),
      fc.string({ maxLength: 20 }),
    );
    fc.assert(
      fc.property(fc.array(line, { maxLength: 6 }), (lines) => {
        const sheet = lines.join('\n');
        const { text: kept, faults: none } = bring(sheet, 'Bb', false, { keepWords: true });
        if (none.length === 0) {
          const reading = readChart(new TextEncoder().encode(kept));
          expect(reading.faults.filter((fault) => fault.severity === 'error')).toEqual([]);
        }
        const { text, faults } = bring(sheet, 'Bb');
        const count = sheet.split(/\r?\n/).length;
        for (const fault of faults)
          expect(fault.line >= 1 && fault.line <= count && fault.column >= 1).toBe(true);
        if (faults.length > 0) return;
        const reading = readChart(new TextEncoder().encode(text));
        expect(reading.faults.filter((fault) => fault.severity === 'error')).toEqual([]);
      }),
    );
  });
});
