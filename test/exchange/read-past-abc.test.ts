import { describe, expect, it } from 'vitest';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import type { SheetRead } from '../../src/exchange/lead-sheet.js';
import { chordName } from '../../src/theory/chord.js';

/* Whatever a tune has is kept or told: nothing is read past in silence. */

function read(head: string, body: string): SheetRead {
  const [tune] = abcTunes(`X:1\nT:T\nC:by\nM:4/4\nL:1/4\nQ:1/4=120\n${head}K:G\n${body}\n`);
  if (!tune) throw new Error('no tune');
  return readAbc(tune);
}

const told = ({ remarks }: SheetRead): string[] =>
  remarks.map(({ message }) => message).filter((message) => !message.startsWith('the melody'));
const bars = ({ sheet }: SheetRead): string =>
  sheet.bars
    .map(({ chords }) => chords.map(({ chord }) => (chord ? chordName(chord) : 'nc')).join(' '))
    .join(' | ');

const music = '"G"z4|"C"z4|';

/** Fields that are kept, by a line of each that reads; all others must be told. ABC 2.1, 3, has a letter for each. */
const keptInHead = ['C', 'K', 'L', 'M', 'P', 'Q', 'V'];
const keptInBody = ['K', 'L', 'M', 'P', 'Q', 'V'];
const good: Readonly<Record<string, string>> = {
  C: 'by',
  K: 'G',
  L: '1/4',
  M: '4/4',
  P: 'A',
  Q: '1/4=120',
  V: '1',
};
const letters = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz+'];

describe('fields', () => {
  it.each(letters.filter((letter) => letter !== 'X'))('%s: in the head', (letter) => {
    const read_ = read(`${letter}:${good[letter] ?? 'text'}\n`, music);
    if (keptInHead.includes(letter)) expect(told(read_)).toEqual([]);
    else expect(told(read_)).toEqual([expect.stringMatching(/^left out: .{5,}/)]);
  });

  it.each(letters.filter((letter) => letter !== 'X'))('%s: in the body, and within a line', (letter) => {
    // A tune without voices has none that are left out.
    const own = read(
      '',
      `${letter === 'V' ? '[V:1]' : ''}"G"z4|\n${letter}:${good[letter] ?? 'text'}\n"C"z4|`,
    );
    const inline =
      letter === '+'
        ? own
        : read('', `${letter === 'V' ? '[V:1]' : ''}"G"z4|[${letter}:${good[letter] ?? 'text'}]"C"z4|`);
    for (const read_ of [own, inline])
      if (keptInBody.includes(letter)) expect(told(read_)).toEqual([]);
      else expect(told(read_)).toEqual([expect.stringMatching(/^left out: .{5,}/)]);
  });

  it.each([
    ['T:One\nT:Other\n', 'further titles'],
    ['C:other\n', 'further authors'],
    ['P:A?\n', 'an order of parts that cannot be read: A?'],
    ['M:none\n', 'a meter that a chart cannot have: none'],
    ['Q:"Lively" 1/4=100\n', 'the words of a tempo, “Lively”'],
    ['text without a field\n', 'a line of the header that is not a field'],
    ['%%MIDI transpose 2\n', 'the directive %%MIDI'],
  ])('in the head: %j', (head, what) => {
    const messages = told(read(head, music));
    expect(messages).toEqual([`left out: ${what}`]);
  });
});

describe('music', () => {
  it.each([
    ['!trill!"G"z4|"C"z4|', 'the sign “trill”'],
    ['+trill+"G"z4|"C"z4|', 'the sign “trill”'],
    ['"G"~z4|"C"z4|', 'the sign “roll”'],
    ['"G".z4|"C"z4|', 'the sign “staccato”'],
    ['{gf}"G"z4|"C"z4|', 'grace notes'],
    ['"G"z4 & c4|"C"z4|', 'a second voice within a bar'],
    ['"G(Em)"z4|"C"z4|', 'additions to a chord, in brackets or after it'],
    ['"G;Em"z4|"C"z4|', 'additions to a chord, in brackets or after it'],
    ['"D""G"z4|"C"z4|', 'D, at the same place as G'],
    ['"_7-5-2-3""G"z4|"C"z4|', 'shapes below the chords'],
    ['"G"z4 € |"C"z4|', 'unknown signs: €'],
    ['"G"z4|"C"z4|\n%%begintext\n"A"A4|"B"B4|\n%%endtext', 'the directive %%begintext'],
    ['"G"z4|"C"z4|\nw: la la', 'lyrics'],
    ['"G"z4|[17 "C"z4|', 'an ending without a valid number'],
  ])('%s', (body, what) => {
    const read_ = read('', body);
    expect(told(read_)).toContain(`left out: ${what}`);
    // What is told changes nothing else.
    expect(bars(read_)).toBe('G | C');
    expect(read_.sheet.bars.map(({ length }) => length)).toEqual([4, 4]);
  });

  it.each([
    ['"G"z4|"^stop""C"z4|', 'cues'],
    ['|:"G"z4|"C"z4:|', 'repeats'],
    ['"G"z4|[1 "C"z4|', 'endings'],
    ['"G"z4|[M:4/4][L:1/4]"C"z4|', 'settings'],
    ['"G"z2 y z2|"C"z4\\\n|', 'spaces and lines that go on'],
    ['"G"z4|% remark\n"C"z4|', 'remarks'],
  ])('keeps, and tells nothing of: %s', (body) => {
    expect(told(read('', body))).toEqual([]);
  });

  it.each([
    ['!segno!"G"z4|"C"z4|', { marks: ['sign'] }],
    ['S"G"z4|"C"z4|', { marks: ['sign'] }],
    ['!coda!"G"z4|"C"z4|', { coda: true }],
    ['O"G"z4|"C"z4|', { coda: true }],
    ['"G"z4!dacoda!|"C"z4|', { marks: ['to-coda'] }],
    ['"G"z4+fine+|"C"z4|', { marks: ['fine'] }],
    ['"G"z4!D.S.!|"C"z4|', { back: { from: 'sign', to: null } }],
    ['"G"z4!D.C.alfine!|"C"z4|', { back: { from: 'top', to: 'fine' } }],
  ])('keeps the way that %s says', (body, said) => {
    const read_ = read('', body);
    expect(told(read_)).toEqual([]);
    expect(read_.sheet.bars[0]).toMatchObject(said);
    expect(bars(read_)).toBe('G | C');
  });

  it('keeps what is sung beside the bar it is sung in', () => {
    expect(read('', '"G"z4|"C"z4|\nw: la la').sheet.bars[0]?.sung).toEqual(['la la']);
  });

  it('and a hostile tune has no list without end', () => {
    const signs = Array.from({ length: 5000 }, (_, index) => `!s${index}!`).join('');
    const messages = told(read('', `${signs}"G"z4|`));
    expect(messages.length).toBeLessThan(110);
    expect(messages.at(-1)).toBe('left out: more things that a chart cannot have');
  });
});

describe('text where a chord could stand', () => {
  it.each([
    ['x3', '“x3” is not a known chord: it is kept as a cue, and the chord before it continues'],
    ['I', '“I” is not a known chord: it is kept as a cue, and the chord before it continues'],
    ['Break', '“Break” is not a known chord: it is kept as a cue, and the chord before it continues'],
    ['rit.', '“rit.” is not a known chord: it is kept as a cue, and the chord before it continues'],
  ])('%s is a cue', (text, message) => {
    const read_ = read('', `"G"z4|"${text}"z4|`);
    expect(told(read_)).toEqual([message]);
    expect(read_.sheet.bars[1]).toMatchObject({ chords: [], cues: [text] });
  });

  it('is a sign of the way where it is one', () => {
    const read_ = read('', '"G"z4|"D.C. al Fine"z4|"Fine"z4|');
    expect(told(read_)).toEqual([]);
    expect(read_.sheet.bars[1]).toMatchObject({ chords: [], back: { from: 'top', to: 'fine' } });
    expect(read_.sheet.bars[2]).toMatchObject({ chords: [], marks: ['fine'] });
  });

  it('% is the bar before again, and a star after a chord is told', () => {
    const read_ = read('', '"G"z2"C"z2|"%"z4|"D*"z4|');
    expect(bars(read_)).toBe('G C | G C | D');
    expect(told(read_)).toEqual(['“D*” is read as D']);
  });

  it('chords left out at one place are each told by name', () => {
    expect(told(read('', '"G""Am"z4|"C""D"z4|'))).toEqual([
      'left out: G, at the same place as Am',
      'left out: C, at the same place as D',
    ]);
  });
});

describe('voices', () => {
  it.each([
    ['one behind the other', 'V:1\nV:2\n', 'V:1\n"G"G4|"C"c4|\nV:2\n"D"D4|"D"D4|', 'G | C', '1'],
    ['within lines', 'V:1\nV:2\n', '[V:1] "G"G4|"C"c4|\n[V:2] "D"D4|"D"D4|', 'G | C', '1'],
    ['with chords in the second only', 'V:1\nV:2\n', '[V:1] G4|c4|\n[V:2] "D"D4|"A"D4|', 'D | A', '2'],
    ['in one line', '', '[V:1] "G"G4|[V:2] "D"D4|[V:1] "C"c4|', 'G | C', '1'],
  ])('%s', (_, head, body, wanted, voice) => {
    const read_ = read(head, body);
    expect(bars(read_)).toBe(wanted);
    expect(told(read_)).toEqual([`left out: voices other than ${voice}, the first that has chords`]);
  });

  it('that is not named goes before those that are', () => {
    const read_ = read('', '"G"G4|"C"c4|\nV:2\n"D"D4|');
    expect(bars(read_)).toBe('G | C');
    expect(told(read_)).toEqual(['left out: voices after the first']);
  });
});

describe('parts', () => {
  it('have their order, by letter, and each its bars', () => {
    const { sheet } = read('P:AABA\n', 'P:A\n"G"z4|\nP:B\n"C"z4|');
    expect(sheet.form).toEqual(['A', 'A', 'B', 'A']);
    expect(sheet.bars.map(({ section }) => section)).toEqual(['A', 'B']);
    expect(read('P:A2(BC)2\n', '[P:A]"G"z4|[P:B]"C"z4|[P:C]"D"z4|').sheet.form).toEqual([...'AABCBC']);
  });
});
