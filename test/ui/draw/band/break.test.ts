import { describe, expect, it } from 'vitest';
import { unroll } from '../../../../src/chart/unroll.js';
import { breakSight, breakText, type Player } from '../../../../src/ui/draw/band/break-pieces.js';
import { standLines } from '../../../../src/ui/draw/stand.js';
import { demoChart, performing } from '../../model.js';
import { bandScene, texts } from './stage.js';

const follower: Player = { part: 'banjo', name: 'Bea', leads: false, leader: 'Ada' };
const leader: Player = { part: 'mandolin', name: 'Ada', leads: true, leader: 'Ada' };

/** What is told in each bar of the form kickoff (banjo) 4, V 8, break (fiddle) 8, V 8, break (me) 8, V 8, break (banjo) 8, V 8. */
function told(player: Player, range?: { from: number; to: number }): string[] {
  const chart = demoChart('weir-hands');
  const { bars } = unroll(chart, { key: chart.key });
  return bars.map((_, bar) => {
    const place = { bar, beat: 0, range: range ?? { from: 0, to: bars.length }, goesRound: true };
    return breakText(breakSight(bars, place, player), player);
  });
}

describe('whose break it is', () => {
  it('is counted down from four bars before, and said while it lasts', () => {
    const lines = told(follower);
    expect(lines.slice(0, 5)).toEqual(['your break', 'your break', 'your break', 'your break', '']);
    expect(lines.slice(8, 13)).toEqual([
      'break: fiddle in 4',
      'break: fiddle in 3',
      'break: fiddle in 2',
      'break: fiddle in 1',
      'fiddle leads',
    ]);
    expect(lines.slice(40, 46)).toEqual([
      'your break in 4',
      'your break in 3',
      'your break in 2',
      'your break in 1',
      'your break',
      'your break',
    ]);
  });

  it('takes “me” of a chart for the leader, never for a follower, even one of that name', () => {
    expect(told(follower)[28]).toBe('Ada leads');
    expect(told({ ...follower, name: 'me' })[28]).toBe('Ada leads');
    expect(told({ ...follower, leader: null })[28]).toBe('the leader leads');
    expect(told(leader).slice(24, 29)).toEqual([
      'your break in 4',
      'your break in 3',
      'your break in 2',
      'your break in 1',
      'your break',
    ]);
  });

  it('comes round with the loop, and within the loop only', () => {
    // Bars 36 to 46 go round: from the last one it is eight bars to the banjo again.
    const lines = told(follower, { from: 36, to: 46 });
    expect(lines.slice(40, 46)).toEqual([
      'your break in 4',
      'your break in 3',
      'your break in 2',
      'your break in 1',
      'your break',
      'your break',
    ]);
    expect(lines[36]).toBe('');
  });

  it('is not counted down where the music is to go elsewhere first', () => {
    const model = bandScene({ part: 'banjo', at: { bar: 18, beat: 0 } });
    const jump = { kind: 'again', ticks: [1], bar: 12, pass: 1 } as const;
    const again = texts(standLines(performing(model, { jump }))).join('\n');
    expect(again).not.toContain('your break');
    expect(again).toContain('Ada leads the band');
    const there = performing(bandScene({ part: 'banjo', at: { bar: 20, beat: 0 } }), { jump });
    expect(texts(standLines(there)).join('\n')).toContain('your break');
  });

  it('stands on the stand where it is seen, near and far, at every size', () => {
    const at = { bar: 18, beat: 0 };
    for (const [columns, rows] of [
      [60, 18],
      [80, 24],
      [120, 40],
    ] as const) {
      const near = texts(standLines(bandScene({ columns, rows, part: 'banjo', at })));
      expect(near.filter((line) => line.includes('your break in 2'))).toHaveLength(1);
    }
    const small = texts(standLines(bandScene({ columns: 60, rows: 18, part: 'banjo', at, far: true })));
    expect(small[0]?.trim()).toBe('y o u r   b r e a k   i n   2');
    const far = texts(standLines(bandScene({ part: 'banjo', at, far: true })));
    expect(far.slice(0, 3)).toEqual([
      ' █ █ ▄▀▀▄ █ █ █▀▄    █▀▄ █▀▄ █▀▀ ▄▀▄ █ █    ▀█▀ █▄ █    ▀▀▄',
      '  █  █  █ █ █ █▀▄    █▀▄ █▀▄ █▀  █▀█ █▀▄     █  █ ▀█    ▄▀',
      '  ▀   ▀▀  ▀▀▀ ▀ ▀    ▀▀  ▀ ▀ ▀▀▀ ▀ ▀ ▀ ▀    ▀▀▀ ▀  ▀    ▀▀▀',
    ]);
  });
});
