import { describe, expect, it } from 'vitest';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import type { SheetRead } from '../../src/exchange/lead-sheet.js';
import { keyName } from '../../src/theory/key.js';
import { scoreOf } from './score.js';

function abc(key: string, body = '"G"G4|"C"C4|'): SheetRead {
  const [tune] = abcTunes(`X:1\nT:T\nM:4/4\nL:1/4\nQ:1/4=120\n${key}\n${body}\n`);
  if (!tune) throw new Error('no tune');
  return readAbc(tune);
}

const xml = (bodies: readonly string[]): SheetRead =>
  scoreOf(
    `<score-partwise version="4.0"><part id="P1">${bodies
      .map((body, index) => `<measure number="${index + 1}">${body}</measure>`)
      .join('')}</part></score-partwise>`,
  );
const signature = (fifths: number | string, mode = ''): string =>
  `<attributes><divisions>1</divisions><key><fifths>${fifths}</fifths>${mode === '' ? '' : `<mode>${mode}</mode>`}</key></attributes>`;
const chord = (root: string, kind = 'major'): string =>
  `<harmony><root><root-step>${root}</root-step></root><kind>${kind}</kind></harmony><note><rest/><duration>4</duration></note>`;

const told = ({ remarks }: SheetRead): string[] =>
  remarks.map(({ message }) => message).filter((message) => !/melody|tempo|time signature/.test(message));

describe('the key of a tune', () => {
  // ABC 2.1, 3.1.14: the modes, by their first three letters in any case, m for minor, with or without a space.
  it.each([
    ['K:G', 'G', []],
    ['K:Gmaj', 'G', []],
    ['K:A Ionian', 'A', []],
    ['K:Em', 'Em', []],
    ['K:F#min', 'F#m', []],
    ['K:B aeolian', 'Bm', []],
    [
      'K:D mix',
      'D',
      [
        'D mixolydian is read as D, because of its major third: the tonic stays, and its seventh is written as b7',
      ],
    ],
    [
      'K:EDor',
      'Em',
      ['E dorian is read as Em, because of its minor third: the tonic stays, and its sixth is written as 6'],
    ],
    [
      'K:A Phrygian',
      'Am',
      [
        'A phrygian is read as Am, because of its minor third: the tonic stays, and its second is written as b2',
      ],
    ],
    [
      'K:Flyd',
      'F',
      ['F lydian is read as F, because of its major third: the tonic stays, and its fourth is written as #4'],
    ],
    [
      'K:B loc',
      'Bm',
      [
        'B locrian is read as Bm, because of its minor third: the tonic stays, and its second and fifth are written as b2 and b5',
      ],
    ],
    ['K:Cb', 'B', ['the key of Cb is written B']],
    ['K:D clef=bass', 'D', []],
    ['K:Am treble-8', 'Am', []],
    ['K:D transpose=-2', 'D', ['left out: a transposition: chords are kept as written']],
    [
      'K:D phr ^f',
      'Dm',
      [
        expect.stringContaining('D phrygian'),
        'left out: accidentals added to the key signature; the notes have them',
      ],
    ],
    ['K:D odd', 'D', ['left out: “odd” after the key']],
    ['K:H', 'C', ['left out: a key that cannot be read: H']],
    ['K:none', 'C', ['no key is named; C is assumed, because of the last chord']],
    ['K:HP', 'C', ['no key is named; C is assumed, because of the last chord']],
  ])('%s', (field, key, remarks) => {
    const read = abc(field);
    expect(keyName(read.sheet.key)).toBe(key);
    expect(told(read)).toEqual(remarks);
  });

  it('changes within the tune, with its mode', () => {
    const read = abc('K:A', '"A"A4|[K:Am]"Am"A4|\nK:C\n"C"C4|[K:clef=bass]"F"F4|[K:Ddor]"Dm"D4|');
    expect(read.sheet.bars.map(({ key }) => key && keyName(key))).toEqual([null, 'Am', 'C', null, 'Dm']);
    expect(told(read)).toEqual([expect.stringContaining('D dorian is read as Dm')]);
  });
});

describe('the key of a score', () => {
  it.each([
    [signature(-1, 'minor'), 'Dm', []],
    [signature(-7, 'major'), 'B', ['the key of Cb is written B']],
    [signature(3, 'aeolian'), 'F#m', []],
    [
      signature(0, 'dorian'),
      'Dm',
      [expect.stringContaining('D dorian is read as Dm, because of its minor third')],
    ],
    [signature(1, 'mixolydian'), 'D', [expect.stringContaining('D mixolydian is read as D')]],
    [signature(-1, 'lydian'), 'Bb', [expect.stringContaining('Bb lydian is read as Bb')]],
    [signature(''), 'C', ['left out: a key signature that cannot be read']],
    [
      signature(1, 'odd'),
      'G',
      [
        'the key signature can be G or Em; G is assumed, because of the last chord',
        'left out: the mode “odd”',
      ],
    ],
  ])('%s', (attributes, key, remarks) => {
    const read = xml([`${attributes}${chord('G')}`]);
    expect(keyName(read.sheet.key)).toBe(key);
    expect(told(read)).toEqual(remarks);
  });

  it.each([
    [
      'ends on its major chord',
      [chord('E', 'minor'), chord('G')],
      'G',
      'G is assumed, because of the last chord',
    ],
    [
      'ends on its minor chord',
      [chord('G'), chord('E', 'minor-seventh')],
      'Em',
      'Em is assumed, because of the last chord',
    ],
    ['ends elsewhere', [chord('G'), chord('D')], 'G', 'G is assumed, though its last chord, D, is neither'],
    ['has no chord', ['<note><rest/><duration>4</duration></note>'], 'G', 'G is assumed'],
  ])('without a mode that %s', (_, [first, ...more], key, why) => {
    const read = xml([`${signature(1)}${first}`, ...more]);
    expect(keyName(read.sheet.key)).toBe(key);
    expect(told(read)).toEqual([`the key signature can be G or Em; ${why}`]);
  });

  it('without a mode goes on with the key before where the signature is its own, and is decided again where it is not', () => {
    const read = xml([
      `${signature(0, 'minor')}${chord('A', 'minor')}`,
      `${signature(0)}${chord('E')}`,
      `${signature(3)}${chord('A')}`,
      `${signature(1)}${chord('C')}`,
    ]);
    expect(read.sheet.bars.map(({ key }) => key && keyName(key))).toEqual(['Am', 'Am', 'A', 'G']);
    expect(told(read)).toEqual([
      'the key signature can be A or F#m; A is assumed, because of the last chord',
      'the key signature can be G or Em; G is assumed, though its last chord, C, is neither',
    ]);
  });
});
