import { describe, expect, it } from 'vitest';

type Figures = Readonly<Record<string, number>>;
type Bench = (quick: boolean) => Promise<Figures | undefined>;
// The benches are plain JavaScript, without types.
const { figuresFault, judged, median } = (await import('./figures.mjs' as string)) as {
  figuresFault: (figures: Figures | undefined) => string | null;
  judged: (bench: Bench, quick: boolean) => Promise<{ count: number; fault: string | null }>;
  median: (list: readonly number[]) => number;
};

describe('a bench', () => {
  it('is well when all its figures are numbers', async () => {
    expect(await judged(async (quick) => ({ one: 1, other: quick ? 0 : Number.NaN }), true)).toEqual({
      count: 2,
      fault: null,
    });
  });

  it('is at fault when it throws, at once or later', async () => {
    const late: Bench = async () => {
      throw new Error('the chart does not read');
    };
    const atOnce: Bench = () => {
      throw new Error('there is no player');
    };
    expect((await judged(late, true)).fault).toBe('it threw: the chart does not read');
    expect((await judged(atOnce, true)).fault).toBe('it threw: there is no player');
  });

  it('is at fault without a figure', async () => {
    expect((await judged(async () => ({}), true)).fault).toBe('it has no figure');
    expect((await judged(async () => undefined, true)).fault).toBe('it has no figure');
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, median([])])('is at fault when a figure is %s', (value) => {
    expect(figuresFault({ whole: 3, broken: value })).toContain('broken');
    expect(figuresFault({ whole: 3, broken: value })).not.toContain('whole');
  });
});
