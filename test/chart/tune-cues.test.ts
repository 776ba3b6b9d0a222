import { describe, expect, it } from 'vitest';
import { readChart } from '../../src/chart/read.js';
import { tuneCuesByPlace, writtenCues } from '../../src/chart/tune/tune-cues.js';
import { unroll } from '../../src/chart/unroll.js';
import { writeChart } from '../../src/chart/write.js';

function read(text: string) {
  return readChart(new TextEncoder().encode(text));
}

/** A song in C of four-four bars: a section a letter, its bars all 1, with a tune where one is given. */
function song(
  form: string,
  sections: Readonly<Record<string, readonly [bars: number, tune: string | undefined]>>,
  head = 'meter: 4/4',
): string {
  const bars = Object.entries(sections).map(
    ([name, [count]]) => `  ${name}: |\n    ${'1 '.repeat(count).trim()}`,
  );
  const tunes = Object.entries(sections).flatMap(([name, [, tune]]) =>
    tune ? `  ${name}: |\n    ${tune}` : [],
  );
  return `title: Try\nkey: C\n${head}\ncues: tune\ncrooked: yes\nform: ${form}\nsections:\n${bars.join('\n')}\ntune:\n${tunes.join('\n')}\n`;
}

/** The cues of a song that must read, by the bar from 1. */
function cuesOf(text: string): readonly string[] {
  const chart = read(text);
  if (!chart.ok) throw new Error(JSON.stringify(chart.faults));
  return unroll(chart.value).bars.flatMap((bar, index) => bar.cues.map((cue) => `${index + 1} ${cue}`));
}

describe('cues that the tune gives', () => {
  it.each([
    ['on a beat', 'Z | z4 C4 | C8', ['2 tune in: 3, top note: 1']],
    ['between beats', 'Z | z5 DEF | C8', ['2 tune in: & of 3, top note: 4']],
    ['on sixteenths', 'Z | z11/2 C/ C2 | C8', ['2 tune in: a of 3, top note: 1']],
    ['on a part of a tuplet', 'Z | z4 (3:2:2zC2 z2 | C8', ['2 tune in: after 3, top note: 1']],
    [
      'in the first beat of a bar: over the one before',
      'Z | C8 | C8',
      ['1 tune in: next 1', '2 top note: 1'],
    ],
    ['behind the first beat’s half', 'Z | zC6z | C8', ['1 tune in: next & of 1', '2 top note: 1']],
    ['behind a bar within the tune', 'C8 | z8 | z4 C4', ['1 top note: 1', '3 tune in: 3']],
    ['nowhere behind less than a bar', 'C2 z6 | C4 z4 | z2 C6', ['1 top note: 1']],
    ['nowhere at the beginning of the pass', 'C8 | C8 | C8', ['1 top note: 1']],
    [
      'with a pick-up in front of the pass',
      'G, | C8 | C8 | C7',
      ['1 tune in: & of 4 before', '1 top note: 1'],
    ],
    ['once for notes that are tied', 'Z | z4 C4- | C8', ['2 tune in: 3, top note: 1']],
  ])('say that it comes in: %s', (_, tune, cues) => {
    const said = cuesOf(song('V', { V: [3, tune] }));
    expect(said).toStrictEqual(cues[0]?.includes('before') ? [cues.join(', ').replace(', 1 ', ', ')] : cues);
  });

  it('count eighths in 6/8, and halves in cut time', () => {
    expect(cuesOf(song('V', { V: [2, 'Z | z5 C'] }, 'meter: 6/8'))).toStrictEqual([
      '2 tune in: 6, top note: 1',
    ]);
    expect(cuesOf(song('V', { V: [2, 'Z | z6 C2'] }, 'meter: 2/2'))).toStrictEqual([
      '2 tune in: & of 2, top note: 1',
    ]);
  });

  it('name who leads the part that a pick-up leads into', () => {
    const sections = { A: [2, undefined], B: [2, 'G,A,B, | C8 | C5'] } as const;
    expect(cuesOf(song('A (banjo), B (fiddle)', sections))).toStrictEqual([
      '2 fiddle in: & of 3',
      '3 top note: 1',
    ]);
    expect(cuesOf(song('A, B (me)', sections))[0]).toBe('2 you in: & of 3');
  });

  it('tell the highest note once in each part of the form that reaches it, in the part’s own degrees', () => {
    expect(cuesOf(song('A x2, B', { A: [2, 'C8 | c4 c4'], B: [2, 'C8 | B8'] }))).toStrictEqual([
      "2 top note: 1'",
      "4 top note: 1'",
    ]);
  });

  it('come after those that are written, and are known from them', () => {
    const text = song('V', { V: [3, 'Z | z4 C4 | C8'] }).replace('1 1 1', '1 "all in" 1 1');
    const chart = read(text);
    if (!chart.ok) throw new Error(JSON.stringify(chart.faults));
    const { bars } = unroll(chart.value);
    expect(bars[1]?.cues).toStrictEqual(['all in', 'tune in: 3, top note: 1']);
    expect(bars[1] && writtenCues(bars[1])).toStrictEqual(['all in']);
    expect(bars[1]?.tuneCue).toBe('tune in: 3, top note: 1');
    expect(writeChart(chart.value)).toContain('\n    1 "all in" 1 1\n');
    expect(writeChart(chart.value)).toContain('\ncues: tune\n');
    expect(writeChart(chart.value)).not.toContain('tune in');
  });

  it('stand on paper where a bar has them each time it is played', () => {
    const bars = (text: string) => {
      const chart = read(text);
      if (!chart.ok) throw new Error(JSON.stringify(chart.faults));
      return [...tuneCuesByPlace(unroll(chart.value).bars)];
    };
    const sections = { A: [2, 'C8 | C8'], R: [2, undefined] } as const;
    // The first time nothing is silent before it.
    expect(bars(song('A, R, A', sections))).toStrictEqual([
      ['0/0/0', 'top note: 1'],
      ['1/0/1', 'tune in: next 1'],
    ]);
    expect(bars(song('A, A, R, A', { ...sections, A: [2, 'E | C8 | C7'] }))[0]).toStrictEqual([
      '1/0/1',
      'tune in: & of 4, top note: 3',
    ]);
  });

  it('are not there where the head does not ask for them', () => {
    expect(cuesOf(song('V', { V: [3, 'Z | z4 C4 | C8'] }).replace('cues: tune\n', ''))).toStrictEqual([]);
  });
});

describe('the head’s cues', () => {
  const faults = (text: string): readonly string[] => {
    const chart = read(text);
    return chart.faults.map(
      ({ line, column, severity, message }) => `${line}:${column} ${severity}: ${message}`,
    );
  };

  it('are what gives them, or a fault with what is meant', () => {
    const text = song('V', { V: [1, 'C8'] });
    expect(faults(text)).toStrictEqual([]);
    expect(faults(text.replace('cues: tune', 'cues: tunes'))).toStrictEqual([
      '4:7 error: “tunes” is not a source of cues; did you mean “tune”?; write “cues: tune”, or put your own cue in double quotes before its bar',
    ]);
  });

  it('warn where there is no tune', () => {
    expect(faults('title: T\nkey: C\ncues: tune\nsections:\n  V: |\n    1 4\n')).toStrictEqual([
      '3:7 warning: there is no tune to take cues from; write one below “tune:”, or leave this out',
    ]);
  });
});
