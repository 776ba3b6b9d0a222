import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mostOffset, type OutSetting, parseOutSetting } from '../../src/player/out-settings.js';

describe('parseOutSetting', () => {
  it.each<[string, OutSetting]>([
    ['clock', { offset: 0, clock: true }],
    ['offset 12', { offset: 12, clock: false }],
    ['offset -12', { offset: -12, clock: false }],
    ['offset 0', { offset: 0, clock: false }],
    ['offset 7.25', { offset: 7.25, clock: false }],
    ['offset -0.5', { offset: -0.5, clock: false }],
    ['offset 500', { offset: 500, clock: false }],
    ['offset -500', { offset: -500, clock: false }],
    ['offset -12, clock', { offset: -12, clock: true }],
    ['clock,offset 3', { offset: 3, clock: true }],
    ['  clock ,  offset 3  ', { offset: 3, clock: true }],
  ])('%j', (text, expected) => {
    expect(parseOutSetting(text)).toStrictEqual({ ok: true, value: expected });
  });

  it.each([
    ['', ''],
    ['offset', 'offset'],
    ['offset 501', 'offset 501'],
    ['offset -500.5', 'offset -500.5'],
    ['offset +3', 'offset +3'],
    ['offset 1e2', 'offset 1e2'],
    ['offset 3 ms', 'offset 3 ms'],
    ['offset three', 'offset three'],
    ['ofset 3', 'ofset 3'],
    ['clock, clocks', 'clocks'],
    ['clock,', ''],
    ['Clock', 'Clock'],
    ['clock offset 3', 'clock offset 3'],
  ])('%j is refused with what would be right', (text, quote) => {
    const outcome = parseOutSetting(text);
    expect(outcome.ok ? '' : outcome.fault.message).toBe(
      `“${quote}” does not describe an output; write offset and ms from -500 to 500, and clock if MIDI clock is to be sent to it`,
    );
  });

  it('quotes nothing that could steer a terminal', () => {
    const outcome = parseOutSetting('clock, \u001b[2J');
    expect(outcome.ok ? '' : outcome.fault.message).toContain('“␛[2J”');
  });

  it('reads every offset that it can be told, and none beyond', () => {
    fc.assert(
      fc.property(fc.integer({ min: -6000, max: 6000 }), fc.boolean(), (tenths, clock) => {
        const offset = tenths / 10;
        const outcome = parseOutSetting(`offset ${offset}${clock ? ', clock' : ''}`);
        expect(outcome.ok).toBe(Math.abs(offset) <= mostOffset);
        expect(outcome.ok ? outcome.value : { offset, clock }).toStrictEqual({ offset, clock });
      }),
    );
  });

  it('answers any text with an offset within its limits, or a sentence', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        for (const written of [text, `offset ${text}`, `clock, ${text}`]) {
          const outcome = parseOutSetting(written);
          const offset = outcome.ok ? outcome.value.offset : 0;
          expect(Math.abs(offset)).toBeLessThanOrEqual(mostOffset);
          expect(outcome.ok ? '' : outcome.fault.message).toMatch(
            outcome.ok ? /^$/ : /^“.*” does not describe an output/s,
          );
        }
      }),
    );
  });
});
