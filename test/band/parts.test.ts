import { describe, expect, it } from 'vitest';
import { breakAt, capoFor, capoLetters, meansPart, partNames, sights } from '../../src/band/parts.js';
import { unroll } from '../../src/chart/unroll.js';
import { demoChart, keyOf } from '../ui/model.js';

describe('the parts', () => {
  it('see their own', () => {
    const having = (what: keyof (typeof sights)['bass']) => partNames.filter((name) => sights[name][what]);
    expect([having('shapes'), having('capo'), having('bass'), having('words')]).toStrictEqual([
      ['mandolin'],
      ['guitar', 'banjo'],
      ['bass'],
      ['singer'],
    ]);
  });

  it('with a capo see the letters behind it', () => {
    const { bars } = unroll(demoChart('third-lantern-down'), { key: keyOf('Bb') });
    const [bar] = bars;
    if (!bar) throw new Error('no bar');
    const capo = capoFor(keyOf('Bb'), null);
    expect([capo.fret, capo.shapes.tonic]).toStrictEqual([3, 'G']);
    const letters = capoLetters({ ...bar, key: keyOf('Bb') }, capo);
    expect(letters[0]?.charAt(0)).toBe('G');
    expect(capoFor(keyOf('Bb'), 1).shapes.tonic).toBe('A');
  });
});

describe('a break', () => {
  const who = (...names: (string | null)[]) => names.map((one) => ({ who: one }));
  const mine = (name: string | null) => meansPart(name, 'fiddle', 'Mina', false);

  it('is told four bars before it begins', () => {
    const bars = who(null, null, null, null, null, 'fiddle', 'fiddle');
    expect(breakAt(bars, 0, false, mine).next).toBeNull();
    expect(breakAt(bars, 1, false, mine).next).toStrictEqual({ who: 'fiddle', bars: 4, mine: true });
    expect(breakAt(bars, 4, false, mine).next).toStrictEqual({ who: 'fiddle', bars: 1, mine: true });
    expect(breakAt(bars, 5, false, mine)).toStrictEqual({ now: 'fiddle', mine: true, next: null });
  });

  it('may come round again, and be another’s', () => {
    const bars = who('banjo', null, 'fiddle');
    expect(breakAt(bars, 2, true, mine).next).toStrictEqual({ who: 'banjo', bars: 1, mine: false });
    expect(breakAt(bars, 2, false, mine).next).toBeNull();
  });

  it('is mine by my part or by my name, and by “me” only where I lead', () => {
    expect([mine('Fiddle'), mine('mina'), mine('banjo'), mine('me'), mine(null)]).toStrictEqual([
      true,
      true,
      false,
      false,
      false,
    ]);
    expect(meansPart('me', 'mandolin', 'x', true)).toBe(true);
  });
});
