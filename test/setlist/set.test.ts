import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readDocument } from '../../src/setlist/document.js';
import { keyName } from '../../src/theory/key.js';

const read = (text: string) => readDocument(new TextEncoder().encode(text));

function setOf(text: string) {
  const reading = read(text);
  if (!reading.ok || reading.value.kind !== 'set') throw new Error('no set');
  return reading.value.set;
}

const faultsOf = (text: string): string[] =>
  read(text).faults.map(({ line, column, severity, message }) => `${line}:${column} ${severity} ${message}`);

describe('a set', () => {
  it('has songs in order, each with what it changes', () => {
    const set = setOf(`title: Harvest evening
date: 2031-09-14
notes: bring strings
charts:
  - one.yaml
  - file: two.yaml
    key: B♭
    tempo: half=118
    gap: 12.5
    notes: slow start
  - file: three.yaml
    key:
`);
    expect(set).toMatchObject({ title: 'Harvest evening', date: '2031-09-14' });
    expect(
      set.entries.map(({ file, key, tempo, gap, place }) => [
        file,
        key && keyName(key),
        tempo,
        gap,
        place.line,
      ]),
    ).toStrictEqual([
      ['one.yaml', null, null, null, 5],
      ['two.yaml', 'Bb', { bpm: 118, count: 'half' }, 12.5, 6],
      ['three.yaml', null, null, null, 11],
    ]);
  });

  it('is the same with its songs in one line, without a date', () => {
    const set = setOf('title: T\ncharts: [one.yaml, {file: two.yaml, gap: 3600}]\n');
    expect(set.date).toBeNull();
    expect(set.entries.map(({ file, gap }) => [file, gap])).toStrictEqual([
      ['one.yaml', null],
      ['two.yaml', 3600],
    ]);
  });
});

describe('a song of a set', () => {
  it('has everything that can be said of it, and breaks before it', () => {
    const [first, second, third] = setOf(`title: T
charts:
  - file: one.yaml
    singer: Ansa
    tempo: 180
    pattern: shuffle
    passes: 2
    count-in: 2
    gap: wait
    notes: capo check
    form: V, C x2
    program: 26, channel 5
  - break: 15
  - break: 5
  - two.yaml
  - three.yaml
`).entries;
    expect(first).toMatchObject({
      singer: 'Ansa',
      key: null,
      pattern: 'shuffle',
      passes: 2,
      countIn: 2,
      gap: 'wait',
      notes: 'capo check',
      form: [
        { section: 'V', times: 1 },
        { section: 'C', times: 2 },
      ],
      program: { number: 26, channel: 5 },
      breakBefore: 0,
    });
    expect([second?.breakBefore, third?.breakBefore]).toEqual([20, 0]);
    expect(third).toMatchObject({ passes: 1, countIn: null, gap: null, form: null, program: null });
  });

  it.each([
    ['passes: none', '4:13 error passes “none” is not a whole number from 1 to 1000'],
    ['passes: 0', '4:13 error passes “0” is not a whole number from 1 to 1000'],
    ['count-in: 3', '4:15 error count-in “3” is not a whole number from 0 to 2'],
    [
      'program: 129',
      '4:14 error program “129” is not a whole number from 1 to 128; to add a channel from 1 to 16, write “program: 12, channel 5”',
    ],
    [
      'program: 5, channel 17',
      '4:14 error program “5, channel 17” is not a whole number from 1 to 128; to add a channel from 1 to 16, write “program: 12, channel 5”',
    ],
    ['form: V,, C', '4:13 error an entry of the form is missing next to this comma'],
    ['singer: Ansa\n    key: A', '4:13 error give a song a key or a singer in the set, not both'],
  ])('with “%s” is told', (line, told) => {
    expect(faultsOf(`title: T\ncharts:\n  - file: a.yaml\n    ${line}\n`)).toEqual([told]);
  });

  it.each([
    [
      '  - break: long\n  - a.yaml\n',
      '3:12 error break “long” is not a number of minutes up to 240; write, for example, “break: 15”',
    ],
    ['  - a.yaml\n  - break: 15\n', '4:5 warning no song follows this break, so the set ends before it'],
  ])('behind a break that is none, or nothing behind it: told', (lines, told) => {
    expect(faultsOf(`title: T\ncharts:\n${lines}`)).toEqual([told]);
  });
});

describe('faults of a set', () => {
  it.each([
    ['no title', 'charts:\n  - a.yaml\n', '1:1 error the set has no title; write “title: Harvest gathering”'],
    ['no songs', 'title: T\ncharts:\n', '2:8 error the set has no charts'],
    ['songs in a line of text', 'title: T\ncharts: a.yaml\n', '2:9 error the set has no charts'],
    ['an empty list', 'title: T\ncharts: []\n', '2:9 error the set has no charts'],
    [
      'a song that is a list',
      'title: T\ncharts:\n  - [a]\n',
      '3:5 error write a song of a set as a file name',
    ],
    [
      'a song without a file',
      'title: T\ncharts:\n  - key: A\n',
      '3:5 error this song has no file; write “file: NAME.yaml”',
    ],
    ['a song whose file is nothing', 'title: T\ncharts:\n  - file:\n', '3:5 error this song has no file'],
    ['a song that is empty text', 'title: T\ncharts:\n  - ""\n', '3:5 error '],
    ['a bad key', 'title: T\ncharts:\n  - file: a\n    key: H\n', '4:10 error “H” is not a key'],
    [
      'a bad tempo',
      'title: T\ncharts:\n  - file: a\n    tempo: 9999\n',
      '4:12 error tempo “9999” is out of range',
    ],
    [
      'a gap that is not a number',
      'title: T\ncharts:\n  - file: a\n    gap: long\n',
      '4:10 error gap “long” is neither a number of seconds from 0 to 3600 nor “wait”',
    ],
    [
      'a gap below nothing',
      'title: T\ncharts:\n  - file: a\n    gap: -1\n',
      '4:10 error gap “-1” is neither a number of seconds',
    ],
    [
      'a gap beyond an hour',
      'title: T\ncharts:\n  - file: a\n    gap: 3601\n',
      '4:10 error gap “3601” is neither a number of seconds',
    ],
    [
      'an unknown name',
      'title: T\ntilte: U\ncharts:\n  - a\n',
      '2:1 warning “tilte” is not a field of a set; did you mean “title”?; it is ignored',
    ],
    [
      'an unknown name of a song',
      'title: T\ncharts:\n  - file: a\n    kee: A\n',
      '4:5 warning “kee” is not a field of a song of a set; did you mean “key”?',
    ],
    ['a name twice', 'title: T\ntitle: U\ncharts:\n  - a\n', '2:1 error “title” is given twice'],
    [
      'a name twice in a song',
      'title: T\ncharts:\n  - file: a\n    file: b\n',
      '4:5 error “file” is given twice',
    ],
    ['a date that is a list', 'title: T\ndate: [a]\ncharts:\n  - a\n', '2:7 error date is text on its line'],
  ])('%s', (_, text, fault) => {
    expect(faultsOf(text)).toStrictEqual([expect.stringContaining(fault)]);
  });

  it('are told all at once, and forbid the set', () => {
    const text = 'charts:\n  - file: a\n    key: H\n  - key: A\n  - file: b\n    gap: x\n';
    expect(read(text).ok).toBe(false);
    expect(faultsOf(text).map((one) => one.split(' ')[0])).toStrictEqual(['1:1', '3:10', '4:5', '6:10']);
  });
});

describe('the demo set', () => {
  const folder = new URL('../../charts/', import.meta.url);
  const set = setOf(readFileSync(new URL('osier-lock-gathering.yaml', folder), 'utf8'));

  it('reads, with its keys and gaps', () => {
    expect(
      set.entries.map(({ key, tempo, gap }) => [key && keyName(key), tempo?.bpm ?? null, gap]),
    ).toStrictEqual([
      ['A', null, 8],
      ['G', null, 10],
      [null, null, 20],
      ['Bb', null, 10],
      [null, 180, 15],
      ['B', null, 10],
    ]);
  });

  it('names charts that exist and can be read', () => {
    for (const { file } of set.entries) {
      expect(existsSync(new URL(file, folder)), file).toBe(true);
      expect(readDocument(readFileSync(new URL(file, folder)))).toMatchObject({
        ok: true,
        value: { kind: 'chart' },
      });
    }
  });
});
