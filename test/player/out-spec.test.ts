import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { OutSpec } from '../../src/player/messages.js';
import { outText, parseOut } from '../../src/player/out-spec.js';

describe('parseOut', () => {
  it.each<[string, OutSpec]>([
    ['midi:1', { kind: 'midi', port: '1' }],
    ['midi:Reed Synth:0', { kind: 'midi', port: 'Reed Synth:0' }],
    ['virtual', { kind: 'virtual', name: 'barkline' }],
    ['virtual:', { kind: 'virtual', name: 'barkline' }],
    ['virtual:stage left', { kind: 'virtual', name: 'stage left' }],
    ['raw:/dev/snd/midiC1D0', { kind: 'raw', path: '/dev/snd/midiC1D0' }],
    ['raw:a:b', { kind: 'raw', path: 'a:b' }],
    ['sound', { kind: 'sound' }],
    ['none', { kind: 'none' }],
  ])('%s', (text, out) => {
    expect(parseOut(text)).toStrictEqual({ ok: true, value: out });
  });

  it.each(['', 'midi', 'midi:', 'raw', 'raw:', 'sound:1', 'none:', 'speaker', 'MIDI:1', ' none', 'none '])(
    '%j is refused with what would be right',
    (text) => {
      const outcome = parseOut(text);
      expect(outcome.ok ? '' : outcome.fault.message).toContain(
        'is not an output; write midi:NAME-OR-NUMBER, virtual:NAME, raw:PATH, sound or none',
      );
    },
  );

  it.each([
    ['mid:1', 'midi'],
    ['sounds', 'sound'],
    ['virtul:x', 'virtual'],
    ['nome', 'none'],
  ])('%s: did you mean %s?', (text, meant) => {
    const outcome = parseOut(text);
    expect(outcome.ok ? '' : outcome.fault.message).toContain(`did you mean “${meant}”?`);
  });

  it('quotes nothing that could steer a terminal', () => {
    const outcome = parseOut('\u001b[2Jsound');
    expect(outcome.ok ? '' : outcome.fault.message).not.toContain('\u001b');
  });
});

describe('outText', () => {
  it('is read back as it was', () => {
    const name = fc.string({ minLength: 1, unit: 'grapheme' });
    const any = fc.oneof(
      fc.record({ kind: fc.constant('midi' as const), port: name }),
      fc.record({ kind: fc.constant('virtual' as const), name }),
      fc.record({ kind: fc.constant('raw' as const), path: name }),
      fc.record({ kind: fc.constantFrom('sound' as const, 'none' as const) }),
    );
    fc.assert(
      fc.property(any, (out) => {
        expect(parseOut(outText(out))).toEqual({ ok: true, value: out });
      }),
    );
  });
});
