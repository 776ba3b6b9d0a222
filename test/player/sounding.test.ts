import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Sounding } from '../../src/player/sounding.js';

describe('Sounding', () => {
  it('is silent until a note is begun, and again when the last was taken', () => {
    const sounding = new Sounding();
    expect([sounding.silent, sounding.nextTick]).toStrictEqual([true, Number.POSITIVE_INFINITY]);
    expect(sounding.start(60, 100)).toBe(false);
    expect([sounding.silent, sounding.nextTick]).toStrictEqual([false, 100]);
    expect(sounding.takeNext()).toBe(60);
    expect([sounding.silent, sounding.nextTick, sounding.takeNext()]).toStrictEqual([
      true,
      Number.POSITIVE_INFINITY,
      -1,
    ]);
  });

  it('gives notes back in the order of their ends, those of one tick as they were begun', () => {
    const sounding = new Sounding();
    sounding.start(60, 300);
    sounding.start(64, 100);
    sounding.start(67, 300);
    sounding.start(71, 200);
    expect(sounding.nextTick).toBe(100);
    expect(sounding.takeAll()).toStrictEqual([64, 71, 60, 67]);
    expect(sounding.silent).toBe(true);
  });

  it('says when the same note sounded already, and keeps only its new end', () => {
    const sounding = new Sounding();
    sounding.start(60, 100);
    expect(sounding.start(60, 50)).toBe(true);
    expect(sounding.nextTick).toBe(50);
    expect(sounding.start(60, 400)).toBe(true);
    expect(sounding.takeAll()).toStrictEqual([60]);
  });

  it('ends every note once, whatever comes', () => {
    const step = fc.oneof(
      fc.record({ key: fc.nat({ max: 6 }), end: fc.nat({ max: 50 }) }),
      fc.constant('take' as const),
    );
    fc.assert(
      fc.property(fc.array(step, { maxLength: 60 }), (steps) => {
        const sounding = new Sounding();
        const model = new Map<number, number>();
        for (const one of steps) {
          if (one === 'take') {
            const end = sounding.nextTick;
            const key = sounding.takeNext();
            expect(end).toBe(Math.min(...model.values()));
            if (key >= 0) expect(model.get(key)).toBe(end);
            model.delete(key);
          } else {
            expect(sounding.start(one.key, one.end)).toBe(model.has(one.key));
            model.set(one.key, one.end);
          }
          expect(sounding.silent).toBe(model.size === 0);
        }
        expect(sounding.takeAll().sort()).toStrictEqual([...model.keys()].sort());
      }),
    );
  });
});
