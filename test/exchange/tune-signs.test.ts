import { describe, expect, it } from 'vitest';
import { abcTunes, readAbc } from '../../src/exchange/abc-read.js';
import { chartOfAbc, sounds } from './tune-charts.js';

/** A tune made up for these tests. */
function tune(music: string, head = 'M:4/4\nL:1/4\nK:C'): string {
  return `X:1\nT:T\n${head}\n${music}\n`;
}

const letters = ['C', '', 'D', '', 'E', 'F', '', 'G', '', 'A', '', 'B'];

/** What sounds, as letters: `C` and how long it lasts in quarters, `D2`. */
function heard(music: string, head?: string): string {
  return sounds(chartOfAbc(tune(music, head)))
    .map((text) => {
      const [, lasts = '', pitch = ''] = /\+([\d.]+):(\d+)$/.exec(text) ?? [];
      const quarters = Number(Number(lasts).toFixed(2));
      return `${letters[Number(pitch) % 12]}${quarters === 1 ? '' : quarters}`;
    })
    .join(' ');
}

describe('notes of ABC as they are written in the wild', () => {
  it.each([
    ['slurs before a tuplet', '((3C/D/E/F) E) G2|C4|', 'C0.33 D0.33 E0.33 F E G2 C4'],
    ['slurs within a tuplet', '(C(3(DE)F) G|C4|', 'C D0.67 E0.67 F0.67 G C4'],
    ['a tie behind a space', 'C D E F -|F2 G2|', 'C D E F3 G2'],
    ['a tie in front of its second note', 'C D -D E|C4|', 'C D2 E C4'],
    ['a tie behind a space, in front of an ending', '|:C D E2 -|1 E2 F2:|2 E4|]', 'C D E4 F2 C D E6'],
    ['a spacer with a width', 'C y10 D y E F|C4|', 'C D E F C4'],
  ])('%s', (_, music, expected) => {
    expect(heard(music)).toBe(expected);
  });
});

describe('repeats of ABC that lack a sign', () => {
  it.each([
    ['a repeat that begins where another has no end', '|:C4|D4|:E4|F4:|', 'C4 D4 C4 D4 E4 F4 E4 F4'],
    ['three of them', '|:C4|:D4|:E4:|', 'C4 C4 D4 D4 E4 E4'],
    ['a second beginning behind a pick-up', '|:G|:C4|D4|E3:|', 'G C4 D4 E3 G C4 D4 E3'],
    ['an ending for a time that another has', '|:C4|1,2 D4:|2 E4|]', 'C4 D4 C4 D4 C4 E4'],
    ['a repeat that nothing closes', '|:C4|D4||E4|', 'C4 D4 E4'],
  ])('%s', (_, music, expected) => {
    expect(heard(music)).toBe(expected);
  });

  it('are told', () => {
    const remarks = (music: string): readonly string[] => {
      const [first] = abcTunes(tune(music));
      return first ? readAbc(first).remarks.map(({ message }) => message) : [];
    };
    expect(remarks('|:C4|D4|:E4|F4:|')).toContain(
      'a repeat begins, but the one before it has no end: the end is added here',
    );
    expect(remarks('|:G|:C4|D4|E3:|')).toContain(
      'a repeat begins twice, before and after its pick-up: it is read as one repeat',
    );
    expect(remarks('|:C4|1,2 D4:|2 E4|]')).toContain(
      'an ending has the number of another one: it is read as ending 3',
    );
  });
});

describe('parts of ABC in an order', () => {
  const head = 'M:4/4\nL:1/4\nP:ABAB\nK:C';

  it('have a pick-up in the bar that is played before it', () => {
    // B ends with a bar of three, which the pick-up of A makes full.
    expect(heard('P:A\nG|C4|D4|\nP:B\nE4|F3|', head)).toBe('G C4 D4 E4 F3 G C4 D4 E4 F3');
    expect(sounds(chartOfAbc(tune('P:A\nG|C4|D4|\nP:B\nE4|F3|', head))).at(5)).toMatch(/^16\.0000/);
  });

  it('may begin within a bar', () => {
    const music = 'P:A\nG|C4|D2\nP:B\nE2|F4|A3|';
    expect(heard(music, head)).toBe('G C4 D2 E2 F4 A3 G C4 D2 E2 F4 A3');
    const at = sounds(chartOfAbc(tune(music, head))).map((text) => Number.parseFloat(text));
    expect(at).toEqual([0, 1, 5, 7, 9, 13, 16, 17, 21, 23, 25, 29]);
  });
});
