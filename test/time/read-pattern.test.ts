import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fault } from '../../src/chart/fault.js';
import { readDocument } from '../../src/setlist/document.js';
import { type Pattern, type Stroke, strokesIn } from '../../src/time/pattern.js';
import { score, strokes, together } from './scores.js';

const read = (text: string) => readDocument(new TextEncoder().encode(text));

/** A pattern that must read, without a word about it. */
function pattern(text: string): Pattern {
  const reading = read(text);
  if (!reading.ok || reading.value.kind !== 'pattern') throw new Error(JSON.stringify(reading.faults));
  expect(reading.faults).toStrictEqual([]);
  return reading.value.pattern;
}

/** The strokes of a pattern in four, one a line. */
const strokesOf = (...lines: string[]): readonly Stroke[] =>
  pattern(`strokes:\n${lines.map((line) => `  - ${line}\n`).join('')}`).meters['4/4'] ?? [];

const told = (faults: readonly Fault[]): string[] =>
  faults.map(({ line, column, message }) => `${line}:${column} ${message}`);

describe('a pattern file', () => {
  it('is known by its strokes, and has all that it says', () => {
    const text = `name: osier roll
meter: 3/4
change: ring
strokes:
  - 1 low
  - 2 chop
  - 2.5 up upper-two choke 60
  - 3 lower-two ring 101
`;
    expect(pattern(text)).toStrictEqual({
      name: 'osier roll',
      says: 'your own',
      meters: {
        '3/4': [
          { at: 0, direction: 'down', courses: 'lowest', ending: 'choke', loudness: 96 },
          { at: 1, direction: 'down', courses: 'all', ending: 'chop', loudness: 96 },
          { at: 1.5, direction: 'up', courses: 'upper-two', ending: 'choke', loudness: 60 },
          { at: 2, direction: 'down', courses: 'lower-two', ending: 'ring', loudness: 101 },
        ],
      },
      other: 'basic',
      change: 'ring',
    });
  });

  it('is in four, chops changes, and is called your own where it does not say', () => {
    expect(pattern('strokes: []\n')).toMatchObject({ name: 'own', meters: { '4/4': [] }, change: 'chop' });
  });

  it('is the basic pattern in other meters', () => {
    const made = pattern('strokes:\n  - 1 ring\n');
    const inThree = strokesIn(made, { beats: 3, unit: 4 });
    expect(inThree.map(({ at, courses }) => [at, courses])).toStrictEqual([
      [0, 'lowest'],
      [1, 'all'],
      [2, 'all'],
    ]);
  });

  it.each([
    ['4/4', '4/4', 4],
    ['cut', '2/2', 2],
    ['6/8', '6/8', 2],
    ['12/8', '12/8', 4],
    ['7/8', '7/8', 7],
    ['1/4', '1/4', 1],
  ])('in %s may strike on the last felt beat, and not behind it', (meter, name, beats) => {
    expect(Object.keys(pattern(`meter: ${meter}\nstrokes:\n  - ${beats} chop\n`).meters)).toStrictEqual([
      name,
    ]);
    expect(told(read(`meter: ${meter}\nstrokes:\n  - ${beats + 1} chop\n`).faults)).toStrictEqual([
      `3:5 a stroke begins with its beat, from 1 to less than ${beats + 1}; “${beats + 1}” is not one`,
    ]);
  });

  it.each([
    ['chop', 'chop'],
    ['choke', 'choke'],
    ['ring', 'ring'],
    ['none', null],
  ])('may strike changes: %s', (written, change) => {
    expect(pattern(`change: ${written}\nstrokes: []\n`).change).toBe(change);
  });

  it.each<[string, Partial<Stroke>]>([
    ['1', { direction: 'down', courses: 'all', ending: 'chop', loudness: 96 }],
    ['1 low', { courses: 'lowest', ending: 'choke' }],
    ['1 low chop', { courses: 'lowest', ending: 'chop' }],
    ['1 ring low', { courses: 'lowest', ending: 'ring' }],
    ['1 lower-two', { courses: 'lower-two', ending: 'chop' }],
    ['1 up', { direction: 'up', courses: 'all', ending: 'chop' }],
    ['1 60 choke upper-two up', { direction: 'up', courses: 'upper-two', ending: 'choke', loudness: 60 }],
    ['1 1', { loudness: 1 }],
    ['1 127', { loudness: 127 }],
    ['1   up    ring', { direction: 'up', ending: 'ring' }],
  ])('a stroke %j says of itself what is not usual, in any order', (line, expected) => {
    expect(strokesOf(line)).toMatchObject([{ at: 0, ...expected }]);
  });

  it.each([
    ['1', 0],
    ['2', 1],
    ['2.5', 1.5],
    ['2.50', 1.5],
    ['2.33', 1 + 1 / 3],
    ['2.333', 1 + 1 / 3],
    ['2.67', 1 + 2 / 3],
    ['2.66', 1 + 2 / 3],
    ['2.25', 1.25],
    ['2.17', 1 + 1 / 6],
    ['2.125', 1.125],
    ['2.13', 1.125],
    ['1.99', 1],
    ['2.4', 1.4],
  ])(
    'beat %s lies %f beats into the bar: thirds, quarters, sixths and eighths are meant exactly',
    (beat, at) => {
      expect(strokesOf(`${beat} chop`)[0]?.at).toBeCloseTo(at, 12);
    },
  );

  it('has its strokes in the order of time, however they are written', () => {
    expect(strokesOf('3 low', '1 low', '2.5 up').map(({ at }) => at)).toStrictEqual([0, 1.5, 2]);
  });

  it('plays as it says', () => {
    const own = pattern(
      'strokes:\n  - 1 low\n  - 2 chop\n  - 2.33 up upper-two choke\n  - 4 lower-two ring\n',
    );
    const made = score('1', {}, { sound: together, patternOf: () => own });
    // At 120 a chop of 60 ms lasts 115 ticks; the others end 40 ticks before the next stroke or the bar's end.
    expect(strokes(made, 0)).toStrictEqual([
      '0 low×1 920',
      '960 chop×4 115',
      '1280 chop×2 1560',
      '2880 chop×2 920',
    ]);
  });
});

describe('what is wrong with a pattern', () => {
  it.each([
    ['meter: 5\nstrokes: []\n', '1:8 “5” is not a meter; write “meter: 4/4”, 3/4, 6/8 or cut'],
    ['name: osier\nmeter: 0/4\nstrokes: []\n', '2:8 “0/4” is not a meter'],
    ['meter: 4/3\nstrokes: []\n', '1:8 “4/3” is not a meter'],
    ['meter: 100/8\nstrokes: []\n', '1:8 “100/8” is not a meter'],
    ['meter: 3/4 swung\nstrokes: []\n', '1:8 “3/4 swung” is not a meter'],
    ['change: rnig\nstrokes: []\n', '1:9 “rnig” is not a way to strike a change; did you mean “ring”?'],
    [
      'change: never\nstrokes: []\n',
      '1:9 “never” is not a way to strike a change; write one of chop, choke, ring, none',
    ],
    ['strokes: 1 low\n', '1:10 strokes are a list'],
    ['strokes:\n', '1:9 strokes are a list'],
    ['strokes:\n  one: low\n', '2:3 strokes are a list'],
    ['strokes:\n  - 1: low\n', '2:5 a stroke is a line like “2 chop”'],
    ['strokes:\n  - [1, low]\n', '2:5 a stroke is a line like “2 chop”'],
    [
      'strokes:\n  - 1 low\n  - low 2\n',
      '3:5 a stroke begins with its beat, from 1 to less than 5; “low” is not one',
    ],
    ['strokes:\n  - 0 low\n', '2:5 a stroke begins with its beat, from 1 to less than 5; “0” is not one'],
    ['strokes:\n  - 0.9\n', '“0.9” is not one'],
    ['strokes:\n  - -1\n', '“-1” is not one'],
    ['strokes:\n  - 1e0\n', '“1e0” is not one'],
    ['strokes:\n  - 1,5 up\n', '“1,5” is not one'],
    ['strokes:\n  - 4.99 up\n', '“4.99” is not one'],
    ['strokes:\n  - ""\n', '“” is not one'],
    ['strokes:\n  - 1 chopp\n', '2:5 “chopp” does not describe a stroke; did you mean “chop”?'],
    ['strokes:\n  - 1 uper-two\n', '2:5 “uper-two” does not describe a stroke; did you mean “upper-two”?'],
    ['strokes:\n  - 1 downs\n', '2:5 “downs” does not describe a stroke; did you mean “down”?'],
    [
      'strokes:\n  - 1 louder\n',
      '2:5 “louder” does not describe a stroke; words are chop, choke, ring, low, all, lower-two, upper-two, down, up, or a loudness from 1 to 127',
    ],
    ['strokes:\n  - 1 0\n', '2:5 “0” does not describe a stroke'],
    ['strokes:\n  - 1 128\n', '2:5 “128” does not describe a stroke'],
    ['strokes:\n  - 1 60.5\n', '2:5 “60.5” does not describe a stroke'],
    ['strokes:\n  - 1 low\n  - 1 chop\n', '2:3 two strokes are at the same place'],
    ['strokes:\n  - 2.33\n  - 1\n  - 2.333 up\n', '2:3 two strokes are at the same place'],
    ['strokes:\n  - 1 low\nstrokes: []\n', '3:1 “strokes” is given twice'],
  ])('%j: %s', (text, expected) => {
    const reading = read(text);
    expect(reading.ok).toBe(false);
    expect(told(reading.faults)).toHaveLength(1);
    expect(told(reading.faults)[0]).toContain(expected);
  });

  it('is told all at once, in the order of the file', () => {
    const text = 'meter: 4\nchange: chopp\nstrokes:\n  - 5 low\n  - 2 chop lwo 130\n';
    expect(read(text).faults.map(({ line, column }) => [line, column])).toStrictEqual([
      [1, 8],
      [2, 9],
      [4, 5],
      [5, 5],
      [5, 5],
    ]);
  });

  it.each([
    ['namee: osier\nstrokes: []\n', '1:1 “namee” is not a field of a pattern; did you mean “name”?'],
    [
      'strokes: []\ncolour: red\n',
      '2:1 “colour” is not a field of a pattern; known are name, meter, change, strokes',
    ],
  ])('%j is only warned of: %s', (text, expected) => {
    const reading = read(text);
    expect(reading).toMatchObject({ ok: true, faults: [{ severity: 'warning' }] });
    expect(told(reading.faults)[0]).toContain(expected);
  });

  it('is quoted without anything that could steer a terminal', () => {
    const texts = [
      'strokes:\n  - "1 \\e[2J"\n',
      'change: "\\e[2J"\nstrokes: []\n',
      '"\\e[2J": x\nstrokes: []\n',
    ];
    for (const text of texts) {
      const said = told(read(text).faults).join('\n');
      expect(said).toContain('␛[2J');
      expect(said).not.toContain('\u001b');
    }
  });
});

describe('any text', () => {
  const words = 'low all lower-two upper-two down up chop choke ring 60 127 128 0 x'.split(' ');
  const beat = fc.oneof(
    fc.constantFrom('1', '2', '2.5', '3.33', '4', '4.75', '5', '0', 'x', ''),
    fc.double({ min: 0, max: 5, noNaN: true }).map((at) => at.toFixed(2)),
  );
  const stroke = fc
    .tuple(beat, fc.array(fc.constantFrom(...words), { maxLength: 5 }))
    .map(([place, rest]) => [place, ...rest].join(' '));
  const head = fc.constantFrom(
    '',
    'meter: 3/4\n',
    'meter: 6/8\n',
    'meter: cut\n',
    'change: none\n',
    'change: ring\n',
    'name: osier\n',
  );
  const likely = fc
    .tuple(head, fc.array(stroke, { maxLength: 6 }))
    .map(([first, list]) => `${first}strokes:${list.map((one) => `\n  - ${one}`).join('') || ' []'}\n`);

  it('is answered with a pattern or with a fault inside the file', () => {
    const any = fc
      .tuple(fc.string({ unit: 'binary' }), fc.string({ unit: 'binary' }))
      .map(([value, list]) => `meter: ${value}\nchange: ${list}\nstrokes:\n  - ${list}\n  - 1 ${value}\n`);
    fc.assert(
      fc.property(fc.oneof(likely, any), (text) => {
        const reading = read(text);
        expect(reading.faults.some((fault) => fault.severity === 'error')).toBe(!reading.ok);
        const lines = text.split('\n').length;
        expect(
          reading.faults.filter(({ line, column }) => line < 1 || line > lines || column < 1),
        ).toStrictEqual([]);
      }),
      { numRuns: 200 },
    );
  });

  it('in known words can be played: strokes within the bar, one to a place, as loud as MIDI can say', () => {
    const known = fc.constantFrom(...words.slice(0, 11));
    const places = fc.uniqueArray(fc.constantFrom('1', '1.5', '2', '2.33', '2.75', '2.9'));
    const all = fc.tuple(head, places, fc.array(fc.array(known, { maxLength: 4 }), { minLength: 6 }));
    const texts = all.map(
      ([first, list, rest]) =>
        `${first}strokes:${list.map((place, index) => `\n  - ${[place, ...(rest[index] ?? [])].join(' ')}`).join('') || ' []'}\n`,
    );
    fc.assert(
      fc.property(texts, fc.constantFrom('4/4', '3/4', '6/8', '2/2', '5/4'), (text, meter) => {
        const own = pattern(text);
        const list = Object.values(own.meters).flat();
        expect(list.map(({ at }) => at)).toStrictEqual(
          [...new Set(list.map(({ at }) => at))].sort((one, other) => one - other),
        );
        expect(list.filter(({ loudness }) => loudness < 1 || loudness > 127)).toStrictEqual([]);
        const shared = meter === '3/4' ? '(1.. 4.)' : meter === '5/4' ? '(1... 4..)' : '(1 4)';
        const made = score(`1 ${shared} '5~`, { meter }, { patternOf: () => own });
        const notes = made.notes.flat();
        expect(notes.filter(({ at, length }) => !Number.isInteger(at) || length < 1)).toStrictEqual([]);
        expect(notes.filter(({ at }) => at < 0 || at >= made.length)).toStrictEqual([]);
      }),
      { numRuns: 100 },
    );
  });
});
