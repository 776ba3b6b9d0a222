import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { asked, askedText } from '../../../src/chart/find/asked.js';
import { findable, findableText, finder } from '../../../src/chart/find/find-songs.js';
import { songFacts } from '../../../src/chart/find/song-facts.js';
import { generatedPlainChart } from '../generated.js';
import { chart } from '../written.js';

const song = (title: string, head: string, bars: string, file = '') =>
  findable(songFacts(chart(`title: ${title}\n${head}\nsections:\n  V: |\n    ${bars}\n`)), file);

const songs = {
  heron: song(
    'Tin Heron',
    'key: A\ntempo: 200\nby: Oda Quill\ntags: fast, sung',
    '1 1 4 1 | 1 5 1 1'.replace('| ', ''),
  ),
  penny: song('A Penny Short', 'key: Bb\ntempo: 96\nmeter: 3/4\ntags: waltz, level 1', '1 6- 2^7 5'),
  lamp: song('Lamp Oil', 'key: F#m\ntempo: half=118\nmeter: cut', '1- b7 1- 5^7', 'night-song.yaml'),
  ōsier: song('Ōsier and Twine', 'key: Am\ntempo: 176', '1- 4- 1- 5'),
  gate: song('Gate 4', 'key: Eb\ntempo: 232', '1 b7 4 5/7'),
};
const found = (query: string): string =>
  Object.entries(songs)
    .filter(([, one]) => finder(query)(one) !== null)
    .map(([name]) => name)
    .join(' ');
const all = Object.keys(songs).join(' ');

describe('what a song is found by', () => {
  it.each([
    ['', all],
    ['heron', 'heron'],
    ['HERON tin', 'heron'],
    ['eron', 'heron'],
    ['quill', 'heron'],
    ['osier', 'ōsier'],
    ['night', 'lamp'],
    ['waltz', 'penny'],
    ['level', 'penny'],
    ['3/4', 'penny'],
    ['cut', 'lamp'],
    ['nothing', ''],
    ['heron waltz', ''],
    // Keys: with a capital letter they are keys, or words of their own; without, also part of a text.
    ['A', 'heron penny'],
    ['a', 'heron penny lamp ōsier gate'],
    ['Am', 'ōsier'],
    ['am', 'lamp ōsier'],
    ['Bb', 'penny'],
    ['B♭', 'penny'],
    ['A#', 'penny'],
    ['bb', 'penny'],
    ['F♯m', 'lamp'],
    ['Gbm', 'lamp'],
    ['f#m', 'lamp'],
    ['D#', 'gate'],
    // As they are said.
    ['B flat', 'penny'],
    ['b flat 90-100', 'penny'],
    ['F sharp minor', 'lamp'],
    ['f# minor', 'lamp'],
    ['A minor', 'ōsier'],
    ['e flat', 'gate'],
    ['penny A flat', ''],
    ['a penny', 'penny'],
    // The ending that every chart's file has finds nothing; the file's name does.
    ['yaml', ''],
    ['ya', ''],
    ['night-song.yaml', 'lamp'],
    // Tempos: as the chart counts, or in quarters; not typed to the end.
    ['180-220', 'heron'],
    ['220-180', 'heron'],
    ['180–240', 'heron lamp gate'],
    ['110-120', 'lamp'],
    ['200+', 'heron lamp gate'],
    ['-100', 'penny'],
    ['200', 'heron'],
    ['23', 'gate'],
    ['20', 'heron'],
    ['180-2', 'heron lamp gate'],
    ['180-', 'heron lamp gate'],
    ['12-14', ''],
    // Numbers in a row.
    ['1 4', 'heron'],
    ['1 4 1 5', 'heron'],
    ['1 1 1 4 4 1', 'heron'],
    ['4 1 1 5 1', 'heron'],
    ['1- 5', 'lamp ōsier'],
    ['1- 5^7', 'lamp'],
    ['1- 4-', 'ōsier'],
    ['6- 2 5', 'penny'],
    ['6- 2^7 5', 'penny'],
    ['6- 2^9 5', ''],
    ['b7', 'lamp gate'],
    ['♭7 4', 'gate'],
    ['4 5', 'gate'],
    ['4 5/7', 'gate'],
    ['4 5/1', ''],
    ['4', 'heron gate'],
    ['3/', 'penny'],
    ['Gate 4', 'gate'],
    ['1 4 1 5 A 180-220 sung', 'heron'],
    ['1 4 A 1 5', 'heron'],
    ['1 4 1 5 Bb', ''],
  ])('%j', (query, names) => {
    expect(found(query)).toBe(names);
  });

  it('puts what is meant before what only has the letters', () => {
    expect(finder('A')(songs.heron)).toBe(2);
    expect(finder('A')(songs.penny)).toBe(1);
    expect(finder('her')(songs.heron)).toBe(2);
    expect(finder('ron')(songs.heron)).toBe(1);
    expect(finder('her ron')(songs.heron)).toBe(1);
  });

  it('has a set, a folder or a file with faults by their texts alone', () => {
    const set = findableText('Harvest 6 songs, all of 4/4');
    expect(finder('harv')(set)).toBe(2);
    expect(finder('A')(set)).toBeNull();
    expect(finder('180-220')(set)).toBeNull();
    expect(finder('4/4')(set)).toBe(2);
    expect(finder('6')(set)).toBe(1);
    expect(finder('1 4')(set)).toBeNull();
  });
});

describe('runs', () => {
  const runs = (text: string): readonly string[] => songFacts(chart(text)).runs;

  it('are those of the sections as they are played: repeats, endings, pieces of others, each once', () => {
    const head = 'title: X\nkey: A\nform: V, C, V x2, tag\nsections:\n';
    const text = `${head}  V: |\n    |: 1 (4 1) [1st 5 = ] [2nd 5^7 nc 1 ] :|\n  C: all of V\n  tag: last 3 of V + 2- 1\n`;
    expect(runs(text)).toStrictEqual(['1 4 1 5 1 4 1 5^7 1', '5^7 1 2- 1']);
  });

  it('do not go from one section into the next', () => {
    const text = 'title: X\nkey: A\nform: V, C\nsections:\n  V: 1 4\n  C: 5 1\n';
    expect(runs(text)).toStrictEqual(['1 4', '5 1']);
    expect(finder('4 5')(findable(songFacts(chart(text))))).toBeNull();
  });

  it('of a very long song are bounded', () => {
    const bars = Array.from({ length: 9000 }, (_, at) => ((at * at) % 7) + 1).join(' ');
    const [run = ''] = runs(`title: X\nkey: A\ncrooked: yes\nsections:\n  V: |\n    ${bars}\n`);
    expect(run.length).toBeLessThanOrEqual(20_000);
    expect(run.startsWith('1 2 5 3')).toBe(true);
  });

  it('are found from whatever place, of whatever chart, however long each number is typed', () => {
    fc.assert(
      fc.property(
        generatedPlainChart,
        fc.nat(),
        fc.integer({ min: 1, max: 8 }),
        fc.boolean(),
        (text, seed, length, twice) => {
          const facts = songFacts(chart(text));
          const run = facts.runs[seed % Math.max(1, facts.runs.length)];
          if (run === undefined) return;
          const numbers = run.split(' ');
          const from = seed % numbers.length;
          const typed = numbers.slice(from, from + length).flatMap((one) => (twice ? [one, one] : [one]));
          // A number with a bass that looks like a meter is one.
          fc.pre(!typed.some((one) => /^\d\/[248]$/.test(one)));
          expect(finder(typed.join(' '))(findable(facts))).toBe(2);
        },
      ),
      { numRuns: 150 },
    );
  });

  it('have what a plain search for the same numbers finds', () => {
    const letters = fc.constantFrom('1', '4', '5', '5^7', '1-', 'b7');
    const plainHas = (run: readonly string[], wanted: readonly string[]): boolean => {
      const base = (one: string): string => one.split('^')[0] as string;
      const fits = (chord: string, one: string): boolean =>
        one.includes('^') ? chord === one : base(chord) === base(one);
      const from = (at: number, next: number): boolean => {
        if (!fits(run[at] ?? '', wanted[next] as string)) return false;
        if (next === wanted.length - 1) return true;
        return at + 1 < run.length && (from(at + 1, next) || from(at + 1, next + 1));
      };
      return run.some((_, at) => from(at, 0));
    };
    fc.assert(
      fc.property(
        fc.array(letters, { minLength: 1, maxLength: 10 }),
        fc.array(letters, { minLength: 2, maxLength: 4 }),
        (bars, typed) => {
          const facts = songFacts(
            chart(`title: X\nkey: A\nmeter: 4/4\ncrooked: yes\nsections:\n  V: |\n    ${bars.join(' ')}\n`),
          );
          const once = (list: readonly string[]) => list.filter((one, at) => one !== list[at - 1]);
          expect(finder(typed.join(' '))(findable(facts)) !== null).toBe(plainHas(once(bars), once(typed)));
        },
      ),
    );
  });
});

describe('what was asked for', () => {
  it.each([
    ['1 4 1 5 A 180-220 fog', 'numbers 1 4 1 5, key A, tempo 180 to 220, “fog”'],
    ['b7 f#m -120', 'number b7, key F#m or “f#m”, tempo 120 or slower'],
    ['200+ 3/4', 'tempo 200 or faster, “3/4”'],
  ])('%j is told', (query, text) => {
    expect(askedText(asked(query))).toBe(text);
  });

  it('narrows with every word, whatever is typed', () => {
    const words = fc.oneof(
      fc.constantFrom(
        '1',
        '4',
        '5^7',
        'b7',
        'A',
        'Am',
        'am',
        '180-220',
        '-120',
        '200',
        'heron',
        'a',
        '♭',
        '\u001b[2J',
      ),
      fc.string(),
    );
    fc.assert(
      fc.property(fc.array(words, { maxLength: 6 }), words, (before, last) => {
        const few = found([...before, last].join(' ')).split(' ');
        // A number after a number goes on with the row, and asks for no less.
        for (const name of few) if (name !== '') expect(found(before.join(' ')).split(' ')).toContain(name);
      }),
    );
  });

  it('takes no time over what nobody would type', () => {
    const long = '1 5 5^7 '.repeat(10_000);
    expect(asked(long)).toHaveLength(1);
    expect(found(long)).toBe('');
    expect(found('-'.repeat(100_000))).toBe('');
  });
});
