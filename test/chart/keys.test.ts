import { describe, expect, it } from 'vitest';
import type { Chart } from '../../src/chart/chart.js';
import type { Fault } from '../../src/chart/fault.js';
import { readChart } from '../../src/chart/read.js';
import { keysPlayed, unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';
import { chordName } from '../../src/theory/chord.js';
import { type Key, keyName, parseKey } from '../../src/theory/key.js';

function bytes(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

function text(form: string, sections: Readonly<Record<string, string>>, key = 'G'): string {
  const body = Object.entries(sections).map(([name, bars]) => `  ${name}: |\n    ${bars}\n`);
  return `title: Lock Song\nkey: ${key}\ncrooked: yes\nform: ${form}\nsections:\n${body.join('')}`;
}

function read(source: string): { chart: Chart; faults: readonly Fault[] } {
  const reading = readChart(bytes(source));
  if (!reading.ok) throw new Error(JSON.stringify(reading.faults));
  return { chart: reading.value, faults: reading.faults };
}

function keyed(name: string): Key {
  const key = parseKey(name);
  if (!key.ok) throw new Error(name);
  return key.value;
}

/** The chords of a pass, a key before each bar where it is another than the bar's before. */
function played(chart: Chart, key?: string): string {
  let held = '';
  const { bars } = unroll(chart, key === undefined ? {} : { key: keyed(key) });
  return bars
    .map((bar) => {
      const name = keyName(bar.key);
      const change = name === held ? '' : `[${name}] `;
      held = name;
      return change + bar.cells.map((cell) => (cell.chord ? chordName(cell.chord) : 'nc')).join(',');
    })
    .join(' ');
}

describe('a key that is named', () => {
  it.each([
    ['V', { V: '1 @key=A 1 4' }, undefined, '[G] G [A] A D'],
    ['V', { V: '1 @key=A 1 4' }, 'C', '[C] C [D] D G'],
    ['V', { V: '1 @key=A 1 4' }, 'F#', '[F#] F# [Ab] Ab Db'],
    ['V', { V: '1 @key=F#m 1- b3' }, undefined, '[G] G [F#m] F#m A'],
    ['V', { V: '1 @key=F#m 1- b3' }, 'Bb', '[Bb] Bb [Am] Am C'],
    ['V, C', { V: '1 @key=A 1', C: '1' }, undefined, '[G] G [A] A A'],
    ['V x2', { V: '1 @key=A 1' }, undefined, '[G] G [A] A A A'],
    ['V', { V: '1 @key=A @key+2 1 @key=G 1' }, 'D', '[D] D [F#] F# [D] D'],
    ['V', { V: '|: @key=G 1 @key=A 1 :|' }, undefined, '[G] G [A] A [G] G [A] A'],
  ])('%s of %j in %s', (form, sections, key, expected) => {
    expect(played(read(text(form, sections)).chart, key)).toBe(expected);
  });

  it.each([
    ['V, B (banjo, key D), V', undefined, '[G] G [D] D A [G] G'],
    ['V, B (banjo, key D), V', 'A', '[A] A [E] E B [A] A'],
    ['V, B (key Dm) x2, V', 'C', '[C] C [Gm] G D G D [C] C'],
    ['L, B (key D), V', undefined, '[G] G [A] A [D] D A [A] A'],
    ['L (key D) x2, V', undefined, '[D] D [E] E [D] D [E] E [G] G'],
  ])('of an entry holds for it alone: %s in %s', (form, key, expected) => {
    const sections = { V: '1', B: '1 5', L: '1 @key+2 1' };
    expect(played(read(text(form, sections)).chart, key)).toBe(expected);
  });

  it('moves along when the chart is written in another key', () => {
    const { chart } = read(text('V, V (banjo, key D)', { V: '1 @key=A 1' }));
    const moved = writeChart({ ...chart, key: keyed('Bb') });
    expect(moved).toContain('@key=C');
    expect(moved).toContain('form: V, V (banjo, key F)');
    expect(played(read(moved).chart)).toBe(played(chart, 'Bb'));
  });

  it.each([
    ['V', '1 @key=H 1', 'did you mean “B”?'],
    ['V', '1 @key=Bbb 1', 'did you mean “Bb”?'],
    ['V', '1 @key= 1', '“@key=” does not name a key; write it after the equals sign: @key=A, @key=F#m'],
  ])('is refused with what was probably meant: %s of %s', (form, bars, sentence) => {
    const reading = readChart(bytes(text(form, { V: bars })));
    expect(reading.ok).toBe(false);
    expect(reading.faults.map(({ message }) => message).join('\n')).toContain(sentence);
  });

  it.each([
    ['V (key)', '“key” does not name a key; write it after the word, as in “key D” or “key F#m”'],
    ['V (banjo, key H)', 'did you mean “B”?'],
    [
      'V (key D, key E)',
      'there is more than one key here: “key D” and “key E”; a part of the form is in one key, as in “key D”',
    ],
  ])('is refused in the form: %s', (form, sentence) => {
    const reading = readChart(bytes(text(form, { V: '1' })));
    expect(reading.ok).toBe(false);
    expect(reading.faults.map(({ message }) => message).join('\n')).toContain(sentence);
  });

  it('is told where somebody is called as a key is written elsewhere', () => {
    const { faults } = read(text('V (in D)', { V: '1 4' }));
    expect(faults.map(({ message }) => message)).toEqual([
      '“in D” is read as who leads; a key is written “(key D)”',
    ]);
  });
});

describe('a section that modulates and comes again', () => {
  const warned = (form: string, sections: Readonly<Record<string, string>>): readonly string[] =>
    read(text(form, sections)).faults.map(
      ({ line, column, severity, message }) => `${line}:${column} ${severity} ${message}`,
    );

  it('is told with the keys as they are played, at the change', () => {
    expect(warned('L x2', { L: '1 4 @key+2 5 1' })).toEqual([
      '7:9 warning section “L” is played twice here and goes up each time: G A B; to stay in one key, write @key=A',
    ]);
    expect(warned('V, L, V, L, V', { V: '1 4', L: '1 @key-1' })).toEqual([
      '9:7 warning section “L” is played twice here and goes down each time: G F# F; to stay in one key, write @key=F#',
    ]);
    expect(warned('L', { L: '|: 1 @key+1 4 :| x9' })[0]).toMatch(
      /is played 9 times here and goes up each time: G Ab A Bb B C Db …; to stay in one key, write @key=Ab$/,
    );
    expect(warned('L, V, L', { L: '1 @key+2 1', V: '@key-1 1 4' })[0]).toMatch(
      /is played twice here and goes to other keys: A, Bb; to stay in one key, write @key=A$/,
    );
  });

  it('is told with the keys that bars are in, and no other', () => {
    const keys = (form: string, bars: string): string | undefined =>
      /each time: ([^;]*);/.exec(warned(form, { V: bars })[0] ?? '')?.[1];
    expect(keys('V x3', '@key+2 1 4 5 1')).toBe('A B Db');
    expect(keys('V x3', '1 4 5 1 @key+2')).toBe('G A B');
    expect(keys('V x3', '1 4 @key+2 5 1')).toBe('G A B Db');
    expect(keys('V x3', '@key+6 1 4 5 1')).toBe('Db G Db');
  });

  it.each([
    ['once', 'V, L', { V: '1 4', L: '1 @key+2 1 4' }],
    ['there and back', 'L x2', { L: '1 @key+2 1 @key-2 1 4' }],
    ['to a key that is named', 'L x2', { L: '1 @key=A 1' }],
    ['in an entry with a key of its own', 'L, L (key D)', { L: '1 @key+2 1' }],
  ])('is not told when it goes %s', (_, form, sections) => {
    expect(warned(form, sections)).toEqual([]);
  });
});

describe('a section in letters', () => {
  it('is read against the key that is named in it, so that its letters sound', () => {
    const { chart, faults } = read(text('V', { V: 'G C @key=A A D = @key=F#m F#m' }));
    expect(faults).toEqual([]);
    expect(played(chart)).toBe('[G] G C [A] A D D [F#m] F#m');
    expect(played(chart, 'C')).toBe('[C] C F [D] D G G [Bm] Bm');
    expect(read(writeChart(chart)).chart.sections[0]?.lines[0]?.items.map((item) => item.kind)).toEqual(
      chart.sections[0]?.lines[0]?.items.map((item) => item.kind),
    );
    expect(played(read(writeChart({ ...chart, key: keyed('C') })).chart)).toBe(played(chart, 'C'));
  });

  it('is told where its letters sound as others', () => {
    const behind = read(text('V', { V: 'G @key+2 A D' })).faults;
    expect(behind.map(({ message }) => message)).toEqual([
      'the letters of section “V” are read in G but played in A: G sounds as A; to hear them as written, write @key=A instead of the half steps',
    ]);
    const later = read(text('V, C', { V: '1 @key=A 1', C: 'A D' })).faults;
    expect(later.map(({ message }) => message)).toEqual([
      'the letters of section “C” are read in G but played in A: G sounds as A; to hear them as written, write @key=A before them',
    ]);
    expect(read(text('V (key A)', { V: 'G D' })).faults).toEqual([]);
    const own = read(text('C, T', { C: '@key=A A D', T: 'last 2 of C + D7 G_ @key=G G + all of C' })).faults;
    expect(own.map(({ line, column, message }) => `${line}:${column} ${message}`)).toEqual([
      '9:19 the letters of section “T” are read in G but played in A: G sounds as A; to hear them as written, write @key=A before them',
    ]);
  });
});

describe('keysPlayed', () => {
  it('has each key of a pass once', () => {
    const { chart } = read(text('V, B (key D), V', { V: '1 @key=A 1', B: '1' }));
    expect(keysPlayed(unroll(chart).bars).map(keyName)).toEqual(['G', 'A', 'D']);
  });
});
