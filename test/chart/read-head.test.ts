import { describe, expect, it } from 'vitest';
import { headNames, height, parseRange } from '../../src/chart/read-head.js';
import { keyName } from '../../src/theory/key.js';
import { chart, faultsOf, headed } from './written.js';

const bars = 'sections:\n  V: |\n    1\n';
const withHead = (head: string): string => headed(`${head}\n${bars}`);

describe('a head', () => {
  it('has defaults where it is silent', () => {
    const { title, key, tempo, meter, feel, pickup, crooked, singers, range, midi, by, pattern } = chart(
      headed(bars),
    );
    expect({ title, key: keyName(key), tempo, meter, feel }).toStrictEqual({
      title: 'Tin Heron',
      key: 'A',
      tempo: { bpm: 120, count: 'quarter' },
      meter: { beats: 4, unit: 4 },
      feel: { swing: 50 },
    });
    expect({ pickup, crooked, singers, range, midi, by, pattern }).toStrictEqual({
      pickup: 0,
      crooked: false,
      singers: [],
      range: null,
      midi: null,
      by: null,
      pattern: null,
    });
  });

  it('reads everything it may have', () => {
    const head = `by: Oda Quill
notes: slow # not shown
tempo: half=118
meter: cut
feel: swing=62
pattern: low-chop
pickup: 1
instrument: mandola
midi: 26
crooked: yes
range: 5, to b3'
singers:
  Ansa: B♭
  Meerle: f#m`;
    const read = chart(withHead(head));
    expect(read).toMatchObject({
      by: 'Oda Quill',
      notes: 'slow',
      tempo: { bpm: 118, count: 'half' },
      meter: { beats: 2, unit: 2 },
      feel: { swing: 62 },
      pattern: 'low-chop',
      pickup: 1,
      instrument: 'mandola',
      midi: 26,
      crooked: true,
      range: { low: { degree: 5, alter: 0, octave: -1 }, high: { degree: 3, alter: -1, octave: 1 } },
    });
    expect(read.singers.map(({ name, key }) => `${name} ${keyName(key)}`)).toStrictEqual([
      'Ansa Bb',
      'Meerle F#m',
    ]);
  });

  it.each([
    ['tempo: 9999', '3:8 error tempo “9999” is out of range; write one from 20 to 400'],
    ['tempo:   fast', '3:10 error “fast” is not a tempo'],
    ['tempo: "fast"', '3:9 error “fast” is not a tempo'],
    ['tempo:', '3:7 error tempo is text on its line: “tempo: …”'],
    ['meter: 4/3', '3:8 error “4/3” is not a meter'],
    ['feel: swung', '3:7 error “swung” is not a feel'],
    ['pickup: 17', '3:9 error pickup “17” is not a whole number from 0 to 16'],
    ['pickup: 1.5', '3:9 error pickup “1.5” is not a whole number'],
    ['midi: 0', '3:7 error midi “0” is not a whole number from 1 to 128'],
    ['crooked: true', '3:10 error crooked must be yes or no, not “true”'],
    [
      'range: 5',
      "3:8 error “5” is not a range; write the lowest and the highest degree of the melody, as in “5, to 3'”",
    ],
    ["range: 3' to 5,", "3:8 error “3' to 5,” is not a range"],
    ['by: [a, b]', '3:5 error by is text on its line'],
    ['singers: Ansa', '3:10 error write singers as names with keys'],
    ['singers:\n  Ansa: H', '4:9 error “H” is not a key'],
    [
      'temop: 90',
      "3:1 warning “temop” is not a field of a chart's head; did you mean “tempo”?; it is ignored",
    ],
    ['colour: red', "3:1 warning “colour” is not a field of a chart's head; it is ignored"],
  ])('%s', (head, fault) => {
    expect(faultsOf(withHead(head))).toStrictEqual([expect.stringContaining(fault)]);
  });

  it.each([
    ['key: A\n', '1:1 error the head has no title; write “title: Rowan Ferry”'],
    ['title: Tin Heron\n', '1:1 error the head has no key; write “key: A”'],
    ['title: Tin Heron\nkey: H\n', '2:6 error “H” is not a key; a key is a letter from A to G'],
    ['title: Tin Heron\nkey: E#\n', '2:6 error “E#” is not a usual name for a key; write F'],
    ['title: Tin Heron\nkey: Cb\n', '2:6 error “Cb” is not a usual name for a key; write B'],
  ])('%j', (head, fault) => {
    expect(faultsOf(head + bars)).toStrictEqual([expect.stringContaining(fault)]);
  });

  it('warns of no name that a head may have', () => {
    const told = headNames
      .flatMap((name) => faultsOf(`${name}: x\n`))
      .filter((one) => one.includes('warning'));
    expect(told).toStrictEqual([]);
  });
});

describe('parseRange', () => {
  it.each([
    ["5, to 3'", -5, 16],
    ['1 to 7', 0, 11],
    ["b7,, to #4''", -14, 30],
  ])('%s', (text, low, high) => {
    const range = parseRange(text);
    expect(range.ok && [height(range.value.low), height(range.value.high)]).toStrictEqual([low, high]);
  });

  it.each(['', '5', '5 to', 'to 5', '5 to 5', '5 to 3', '8 to 9', '5,,, to 3', "1 to 3,'", '1 to 3 to 5'])(
    'refuses %j',
    (text) => {
      const range = parseRange(text);
      expect(range.ok ? '' : range.fault.message).toMatch(/ is not a range; /);
    },
  );

  it('answers at once on a very wide gap', () => {
    expect(parseRange(`5${' '.repeat(200_000)}x`).ok).toBe(false);
  });
});
