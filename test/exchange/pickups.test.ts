import { describe, expect, it } from 'vitest';
import { type LeadSheet, plainBar, type SheetBar } from '../../src/exchange/lead-sheet.js';
import { withoutPickups } from '../../src/exchange/pickups.js';

const sheet = (...bars: Partial<SheetBar>[]): LeadSheet => ({
  title: 'T',
  by: null,
  key: { tonic: 'G', mode: 'major' },
  meter: { beats: 4, unit: 4 },
  tempo: { bpm: 120, count: 'quarter' },
  bars: bars.map((bar) => ({ ...plainBar, ...bar })),
  form: null,
});

describe('a pick-up', () => {
  it('hands on what it says to the bar after it, of whatever kind', () => {
    const said: Partial<SheetBar> = {
      section: 'A',
      cues: ['soft'],
      words: ['one'],
      sung: ['la'],
      marks: ['sign'],
      coda: true,
      back: { from: 'top', to: null },
    };
    const { bars, pickup } = withoutPickups(sheet({ length: 1, ...said }, {}, {}), []);
    expect(pickup).toBe(1);
    expect(bars).toStrictEqual([{ ...plainBar, ...said }, plainBar]);
  });

  it('goes before what that bar says, and each sign stands once', () => {
    const first = { length: 1, cues: ['a'], words: ['one'], marks: ['sign'] as const };
    const second = { cues: ['b'], words: ['two'], marks: ['sign', 'fine'] as const };
    const [bar] = withoutPickups(sheet(first, second, {}), []).bars;
    expect(bar).toMatchObject({ cues: ['a', 'b'], words: ['one', 'two'], marks: ['sign', 'fine'] });
  });

  it('after another one hands on what that one said too', () => {
    const { bars } = withoutPickups(
      sheet(
        { length: 1, section: 'A', words: ['one'] },
        { length: 1, opens: true },
        {},
        { length: 3, closes: 2 },
      ),
      [],
    );
    expect(bars).toMatchObject([
      { length: 4, section: 'A', words: ['one'], opens: true },
      { length: 4, closes: 2 },
    ]);
  });
});
