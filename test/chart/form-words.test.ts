import { describe, expect, it } from 'vitest';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { keyName } from '../../src/theory/key.js';
import { barsOf, chart, faultsOf, headed, played } from './written.js';

/** Sections A (bars 1 to 7 with the sign in bar 3), B and coda; the form is given. Its entries begin in 3:7. */
const song = (form: string, { A = '1 1 @sign 4 4', B = '6- 2- @to-coda 5 5', C = '3- 7o' } = {}): string =>
  headed(`form: ${form}\ncrooked: yes\nsections:\n  A: |\n    ${A}\n  B: |\n    ${B}\n  coda: |\n    ${C}\n`);

describe('form words', () => {
  it('play the worked example bar by bar as it was written out by hand', () => {
    const text = song('A, B, from sign to coda, coda');
    // A: 1 1 4 4; B: 6- 2- 5 5; from the sign in bar 3: 4 4, then B up to the end of its second bar; the coda.
    expect(played(text)).toBe('1 1 4 4 6- 2- 5 5 4 4 6- 2- 3- 7o');
    const bars = barsOf(text);
    expect(bars.map(({ section, entry, again }) => `${section} ${entry} ${again ?? '-'}`)).toStrictEqual([
      ...Array.from({ length: 4 }, () => 'A 0 -'),
      ...Array.from({ length: 4 }, () => 'B 1 -'),
      ...['A 2 0', 'A 2 0', 'B 2 1', 'B 2 1'],
      ...['coda 3 -', 'coda 3 -'],
    ]);
    expect(bars.flatMap(({ marks }, at) => (marks ? [`${at + 1} ${marks.join()}`] : []))).toStrictEqual([
      '3 sign',
      '6 to-coda',
      '9 sign',
      '12 to-coda',
    ]);
  });

  it.each([
    ['A, B, from top to coda, coda', '1 1 4 4 6- 2- 5 5 1 1 4 4 6- 2- 3- 7o'],
    ['A, B, from sign, coda', '1 1 4 4 6- 2- 5 5 4 4 6- 2- 5 5 3- 7o'],
    ['A, B, from top', '1 1 4 4 6- 2- 5 5 1 1 4 4 6- 2- 5 5'],
    // Of an entry x2 the last time, and the sign that was passed last.
    ['A x2, B, from sign to coda, coda', '1 1 4 4 1 1 4 4 6- 2- 5 5 4 4 6- 2- 3- 7o'],
    ['A, A, B, from top to coda, coda', '1 1 4 4 1 1 4 4 6- 2- 5 5 1 1 4 4 6- 2- 3- 7o'],
    ['A x2, B, from top to coda, coda', '1 1 4 4 1 1 4 4 6- 2- 5 5 1 1 4 4 6- 2- 3- 7o'],
    ['A, B, A, B, from sign to coda', '1 1 4 4 6- 2- 5 5 1 1 4 4 6- 2- 5 5 4 4 6- 2-'],
    // A second form word passes over the first one.
    ['A, from sign, B, from top to coda, coda', '1 1 4 4 4 4 6- 2- 5 5 1 1 4 4 6- 2- 3- 7o'],
  ])('%s', (form, bars) => {
    expect(played(song(form))).toBe(bars);
  });

  it('take repeats once, as in their last time, with its ending', () => {
    const A = '|: 1 @sign 4 [1st 5 ] [2nd 1 ] :| 2-';
    expect(played(song('A, B, from sign to coda', { A }))).toBe('1 4 5 1 4 1 2- 6- 2- 5 5 4 1 2- 6- 2-');
  });

  it('end after @fine, which is passed over before', () => {
    const A = '1 4 @fine 5 5';
    expect(played(song('A, B, from top to fine', { A }))).toBe('1 4 5 5 6- 2- 5 5 1 4');
    expect(played(song('A, B, from sign to fine', { A: '1 @sign 4 @fine 5' }))).toBe('1 4 5 6- 2- 5 5 4');
  });

  it('play each bar in the key, meter and tempo that it had, and go on in those of the bar they leave', () => {
    const A = '1 @key+2 @tempo=90 @sign 4 @3/4 4';
    const B = '5 @to-coda @key+3 @tempo=60 5';
    const bars = barsOf(song('A, B, from sign to coda, coda', { A, B }));
    expect(
      bars.map(({ key, tempo, meter }) => `${keyName(key)} ${tempo.bpm} ${meter.beats}`).slice(1),
    ).toStrictEqual([
      'B 90 4',
      'B 90 3',
      'B 90 3',
      'D 60 3',
      'B 90 4',
      'B 90 3',
      'B 90 3',
      'B 90 3',
      'B 90 3',
    ]);
  });

  it('have brackets like other entries; what they do not say is as it was', () => {
    const form = 'A (me: ring), B (soft), from sign to coda (banjo, up), coda';
    const bars = barsOf(song(form)).slice(8, 12);
    expect(bars.map(({ who, pattern, level }) => [who, pattern, level])).toStrictEqual([
      ['banjo', 'ring', 'up'],
      ['banjo', 'ring', 'up'],
      ['banjo', null, 'up'],
      ['banjo', null, 'up'],
    ]);
    expect(writeChart(chart(song(form)))).toContain(`form: ${form}\n`);
  });

  it('are written as they were read, their marks too', () => {
    const text = writeChart(chart(song('A, B, from sign to coda, coda')));
    expect(text).toContain('    1 1 @sign 4 4\n');
    expect(text).toContain('    6- 2- @to-coda 5 5\n');
    expect(writeChart(chart(text))).toBe(text);
  });

  it('stay within what a pass can have, and cost what they play', () => {
    const once = chart(song('A, B, from sign'));
    const form = once.form.flatMap((entry) =>
      entry.way ? Array.from({ length: 6000 }, () => entry) : entry,
    );
    const { bars, fault } = unroll({ ...once, form });
    expect(bars.length).toBeLessThanOrEqual(10_000);
    expect(fault?.message).toMatch(/more than 10000 bars/);
  });
});

describe('what is wrong with form words', () => {
  it.each([
    ['from sign, A', '3:7 error “from sign” comes first in the form'],
    ['A, from segno', '3:10 error “from segno” is not a jump; did you mean “from sign”?'],
    ['A, from sign to coda x2', '3:10 error “from sign to coda x2”: a jump is played once'],
    ['B, from sign', '3:10 error no bar played so far has a sign to go back to; write @sign'],
    ['A, from sign to coda, coda', '3:10 error no bar from the sign on leads to the coda; write @to-coda'],
    [
      'B, A, from sign to coda, coda',
      '3:13 error the jump goes to the place where the sign was last played, and no bar with @to-coda follows',
    ],
    ['A, B, from top to fine', '3:13 error no bar from the top on is marked as the end; write @fine'],
    ['A, B, from sign to coda', '3:13 warning no section follows “from sign to coda”'],
    ['A, B', '7:9 warning nothing in the form uses this @sign'],
    ['A, B', '9:11 warning nothing in the form uses this @to-coda'],
  ])('%s', (form, message) => {
    expect(faultsOf(song(form)).filter((fault) => fault.startsWith(message))).toHaveLength(1);
  });

  it.each([
    ['the song ends with “from top to fine”', song('A, B, from top to fine, coda', { A: '1 @fine 4' })],
    ['7:19 error a second @sign', song('A, B, from sign', { A: '1 @sign 4 1 1 @sign 4' })],
    ['7:7 error @sign goes before a bar, but no bar follows', song('A, B', { A: '1 @sign' })],
    ['7:5 error @fine goes after a bar, but there is no bar before it', song('A, B', { A: '@fine 1' })],
    ['is written @sign here', song('A', { A: '@segno 1' })],
    ['is written @to-coda here', song('A', { A: '1 @tocoda' })],
    ['is not a mark: the coda is a section of its own', song('A', { A: '1 @coda 1' })],
    ['is not a mark but an entry of the form', song('A', { A: '1 @D.S. 1' })],
    ['did you mean “@fine”', song('A', { A: '1 @fina 1' })],
    ['“from here” is not a name for a section', headed('sections:\n  from here: |\n    1 4\n')],
    [
      'this is a repeat inside a repeat; close the first',
      headed('sections:\n  A: |\n    |: |: 1 4 :| 5 :|\n'),
    ],
  ])('%s', (message, text) => {
    const found = faultsOf(text).filter((fault) => fault.includes('error'));
    expect(found.filter((fault) => fault.includes(message))).toHaveLength(1);
  });

  it('tells nested repeats once, with what to write for them', () => {
    expect(faultsOf(headed('sections:\n  A: |\n    |: |: 1 4 :| 5 :|\n'))).toStrictEqual([
      '5:8 error this is a repeat inside a repeat; close the first with :| before it, or make the inner part a section and repeat it in the form (inner x2), or mark a bar with @sign and write “from sign” in the form',
    ]);
  });
});
