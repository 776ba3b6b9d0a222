import { describe, expect, it } from 'vitest';
import type { Item, SectionLine } from '../../src/chart/chart.js';
import { numberText } from '../../src/theory/number.js';
import { chart, chartOf } from './written.js';

const linesOf = (bars: string, head = ''): readonly SectionLine[] =>
  chart(chartOf(bars, head)).sections[0]?.lines ?? [];

/** An item as short text, its place left out. */
function brief(item: Item): string {
  switch (item.kind) {
    case 'bar': {
      const cells = item.cells.map(({ chord, dots, early, ending }) =>
        [
          early ? 'early ' : '',
          chord ? numberText(chord) : 'nc',
          dots ? ` ${dots}` : '',
          ending === 'plain' ? '' : ` ${ending}`,
        ].join(''),
      );
      return `${item.same ? '= ' : ''}${item.grouped ? `(${cells.join(', ')})` : cells.join()}`;
    }
    case 'repeat-close':
      return `close ${item.times}`;
    case 'ending-open':
      return `ending ${item.times}`;
    case 'change':
      return JSON.stringify(item.change);
    case 'cue':
      return `cue ${item.text}`;
    default:
      return item.kind;
  }
}

describe('bars', () => {
  it.each<[string, string[]]>([
    ['1 6- b7 5^7/7 nc', ['1', '6-', 'b7', '5^7/7', 'nc']],
    ["1~ 5! '4", ['1 ring', '5 stop', 'early 4']],
    ['(1 4) (1.. 4. 5.)', ['(1, 4)', '(1 2, 4 1, 5 1)']],
    ["(1... '5^7.)", ['(1 3, early 5^7 1)']],
    ['1 = =', ['1', '= 1', '= 1']],
    ['(1 5) =', ['(1, 5)', '= (1, 5)']],
    ['|: 1 :| x3', ['repeat-open', '1', 'close 3']],
    ['|:1:|', ['repeat-open', '1', 'close null']],
    [
      '|: 1 [1st 4 ] [2nd 5 ] :|',
      ['repeat-open', '1', 'ending 1', '4', 'ending-close', 'ending 2', '5', 'ending-close', 'close null'],
    ],
    [
      '|: 1 [1st,3rd 4 :| [2nd 5 ]',
      ['repeat-open', '1', 'ending 1,3', '4', 'ending-close', 'close null', 'ending 2', '5', 'ending-close'],
    ],
    ['1 [last 4 ]', ['1', 'ending last', '4', 'ending-close']],
    ['"all in" 1', ['cue all in', '1']],
    [
      '1 @3/4 1 @cut 1',
      [
        '1',
        '{"kind":"meter","meter":{"beats":3,"unit":4}}',
        '1',
        '{"kind":"meter","meter":{"beats":2,"unit":2}}',
        '1',
      ],
    ],
    [
      '@key+2 @tempo=90 @swing=62 1',
      ['{"kind":"key","halfSteps":2}', '{"kind":"tempo","bpm":90}', '{"kind":"swing","swing":62}', '1'],
    ],
    ['A F#m (D E7) nc', ['1', '6-', '(4, 5^7)', 'nc']],
  ])('%s', (bars, items) => {
    expect(linesOf(bars).flatMap((line) => line.items.map(brief))).toStrictEqual(items);
  });

  it('keeps lines, places and comments; = reaches over the line', () => {
    const lines = linesOf('1 4 ; low\n\n= "x" 5\n; alone');
    expect(lines.map((line) => line.comment)).toStrictEqual(['low', null, null, 'alone']);
    const places = lines.map((line) => line.items.map(({ place }) => `${place.line}:${place.column}`));
    expect(places).toStrictEqual([['5:5', '5:7'], [], ['7:5', '7:7', '7:11'], []]);
    expect(lines[2]?.items.map(brief)).toStrictEqual(['= 4', 'cue x', '5']);
  });

  it('knows letters from numbers by the first chord', () => {
    const letters = (bars: string) => chart(chartOf(bars)).sections[0]?.letters;
    expect([letters('nc A'), letters('"B" nc 1'), letters('nc')]).toStrictEqual([true, false, false]);
  });

  it('counts dots by the meter, and lets a crooked chart be', () => {
    expect(linesOf('(1.. 5.) @6/8 (1. 5.)', 'meter: 3/4\n')).toHaveLength(1);
    expect(linesOf('(1. 5.) (1.... 5.)', 'crooked: yes\n')).toHaveLength(1);
  });
});
