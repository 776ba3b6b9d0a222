import { describe, expect, it } from 'vitest';
import { Faults } from '../../src/chart/fault.js';
import { checkForm, readForm } from '../../src/chart/read-form.js';

const start = { line: 3, column: 7 };

function form(text: string) {
  const faults = new Faults();
  const entries = readForm([{ text, ...start }], faults);
  return { entries, told: faults.list.map(({ line, column, message }) => `${line}:${column} ${message}`) };
}

describe('readForm', () => {
  it.each([
    ['V', ['7: 1 V']],
    ['V, C x2, tag', ['7: 1 V', '10: 2 C', '16: 1 tag']],
    ['V,C', ['7: 1 V', '9: 1 C']],
    ['  V ,  C', ['9: 1 V', '14: 1 C']],
    ['𝄞, C', ['7: 1 𝄞', '10: 1 C']],
    ['kickoff (fiddle)', ['7: 1 kickoff fiddle']],
    ['break (me: ring)', ['7: 1 break me: ring']],
    ['V (: ring)', ['7: 1 V : ring']],
    ['V ()', ['7: 1 V']],
    ['break (banjo, fiddle) x2', ['7: 2 break banjo, fiddle']],
    ['break x2 (me: low-chop)', ['7: 2 break me: low-chop']],
    ['half tag x100', ['7: 100 half tag']],
  ])('%s', (text, expected) => {
    const { entries, told } = form(text);
    expect(told).toStrictEqual([]);
    const brief = entries.map(({ place, times, section, who, pattern }) => {
      const role =
        (who === null ? '' : ` ${who}`) + (pattern === null ? '' : `${who === null ? ' ' : ''}: ${pattern}`);
      return `${place.column}: ${times} ${section}${role}`;
    });
    expect(brief).toStrictEqual(expected);
  });

  it.each([
    ['V,, C', '3:9 an entry of the form is missing next to this comma'],
    ['V, C,', '3:11 an entry of the form is missing next to this comma'],
    ['V, C x0', '3:10 “C x0”: a section can be played 1 to 100 times'],
    ['V x101', '3:7 “V x101”: a section can be played 1 to 100 times'],
    ['V, (me)', '3:10 “(me)” is not an entry of a form'],
    ['V, C (me', '3:10 “C (me” is not an entry of a form'],
    ['V), C', '3:7 “V)” is not an entry of a form'],
  ])('%s is refused', (text, sentence) => {
    expect(form(text).told).toStrictEqual([expect.stringContaining(sentence)]);
  });

  it.each([
    ['V (soft)', { who: null, pattern: null, level: 'soft' }],
    ['break (banjo, up) x2', { who: 'banjo', pattern: null, level: 'up' }],
    ['break (me: ring, full, walk)', { who: 'me', pattern: 'ring', level: 'full', bass: 'walk' }],
    ['V (walk, banjo, fiddle, soft)', { who: 'banjo, fiddle', pattern: null, level: 'soft', bass: 'walk' }],
    ['C (plain)', { who: null, pattern: null, bass: 'plain' }],
    ['tag (: last-run, soft)', { who: null, pattern: 'last-run', level: 'soft' }],
    // A name with a capital is a name.
    ['V (Soft)', { who: 'Soft', pattern: null }],
  ])('takes levels and the bass out of the brackets of %s', (text, expected) => {
    const { entries, told } = form(text);
    expect(told).toStrictEqual([]);
    const { section: _, times: __, place: ___, ...options } = entries[0] ?? {};
    expect(options).toStrictEqual(expected);
  });

  it.each([
    [
      'V (soft, full)',
      'there is too much here: “soft” and “full”; a part of the form has only one level: soft, up, full',
    ],
    [
      'V (walk, plain)',
      'there is too much here: “walk” and “plain”; a part of the form has only one word for the bass',
    ],
    ['V (sfot)', '“sfot” is read as who leads; did you mean “soft”?'],
    ['V (banjo, wlak)', '“wlak” is read as who leads; did you mean “walk”?'],
    ['V (banjo; key D)', 'is read as who leads; a key is written “(banjo, key D)”'],
    ['V (banjo, D)', '“D” is read as who leads; a key is written “(key D)”'],
    ['V (D)', '“D” is read as who leads; a key is written “(key D)”'],
    ['V (F#m)', '“F#m” is read as who leads; a key is written “(key F#m)”'],
    ['V (banjo in D)', 'a key is written “(banjo, key D)”'],
    ['V (in b flat)', 'a key is written “(key Bb)”'],
    ['V (banjo, in the key of D)', 'a key is written “(key D)”'],
    ['V (+2)', '“+2” is read as who leads; an entry names its key: “(key D)”'],
    ['V (banjo +2)', 'an entry names its key: “(banjo, key D)”'],
    ['V (banjo, up a step)', 'an entry names its key: “(key D)”'],
    ['V (@key=A)', 'a key is written “(key A)”'],
    ['V (: key D)', '“key D” is read as a pattern; a key is written “(key D)”'],
    ['V (banjo, key +2)', '3:7 an entry names its key: “(key D)”'],
    ['V (banjo up)', '“banjo up” is read as who leads; with a comma it is “(banjo, up)”'],
  ])('tells what is odd in %s', (text, sentence) => {
    expect(form(text).told).toStrictEqual([expect.stringContaining(sentence)]);
  });

  it.each(['V (Dan)', 'V (Ingrid)', 'V (me: ring)', 'V (B. Good)', 'V (Anna and Bo)', 'V (banjo, key D)'])(
    'has nothing to tell of %s',
    (text) => {
      expect(form(text).told).toStrictEqual([]);
    },
  );

  it('does not pass over a second count in silence', () => {
    expect(form('V x2 (me) x3').told).toStrictEqual([expect.stringMatching(/^3:7 /)]);
    expect(form('V x2 x3').told).toStrictEqual([expect.stringMatching(/^3:7 /)]);
  });

  it('reads what is right beside what is wrong', () => {
    const { entries, told } = form('V, C x0, tag, (');
    expect(entries.map((entry) => entry.section)).toStrictEqual(['V', 'tag']);
    expect(told).toHaveLength(2);
  });

  it('answers at once on a name with a very wide gap', () => {
    expect(form(`V${' '.repeat(5000)}b`).entries).toHaveLength(1);
  });
});

describe('checkForm', () => {
  it('tells every unknown section with the names there are', () => {
    const faults = new Faults();
    checkForm(form('Verse, Vers, solo, C').entries, ['Verse', 'C'], faults);
    expect(faults.list.map(({ column, message }) => `${column} ${message}`)).toStrictEqual([
      '14 there is no section “Vers”; did you mean “Verse”?; the sections are: Verse, C',
      expect.stringContaining(
        '20 there is no section “solo”; the sections are: Verse, C; a part led by an instrument is “Verse (banjo)”',
      ),
    ]);
  });

  it('says so when there is none at all', () => {
    const faults = new Faults();
    checkForm(form('V').entries, [], faults);
    expect(faults.list.map((fault) => fault.message)).toStrictEqual([
      'there is no section “V”; the sections are: none',
    ]);
  });

  it('keeps its sentences short in a file of very many sections', () => {
    const faults = new Faults();
    const names = Array.from({ length: 2000 }, (_, index) => `part ${index}`);
    checkForm(form('Q').entries, names, faults);
    expect(faults.list.map((fault) => fault.message.length < 1000)).toStrictEqual([true]);
  });
});

describe('entries that are written otherwise', () => {
  const told = (text: string): readonly string[] => {
    const faults = new Faults();
    checkForm(readForm([{ text, ...start }], faults), ['V', 'half tag', 'coda'], faults);
    return faults.list.map(({ message }) => message);
  };

  it.each([
    ['V x 2', 'write “V x2”'],
    ['V, 2x V', 'write “V x2”'],
    ['2 half tag', 'write “half tag x2”'],
    ['V V', 'write “V, V”'],
    ['V - coda', 'write “V, coda”'],
    ['V, break', '“V (banjo, key D)”, or a section of its own: “break: all of V”'],
    ['V, D.S. al coda, coda', 'write it as an entry of the form: from sign to coda'],
    ['V, D.C. al fine', 'from top to fine'],
    ['V, da capo', 'from top'],
    ['V, dal segno', 'from sign'],
    ['V, from the sign to the coda, coda', 'entry of the form: from sign to coda'],
    ['V, from the top', 'entry of the form: from top'],
    ['V, 𝄋', 'write the mark as @sign'],
    ['V, fine', 'write the mark as @fine'],
    ['V, @to coda', 'write the mark as @to-coda'],
  ])('%s', (text, says) => {
    expect(told(text)).toStrictEqual([expect.stringContaining(says)]);
  });

  it('are sections where some are called so', () => {
    expect(told('V, coda, half tag')).toStrictEqual([]);
  });
});
