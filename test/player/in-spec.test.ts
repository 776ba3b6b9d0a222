import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { InSpec } from '../../src/player/messages.js';
import { parseIn } from '../../src/player/out-spec.js';

describe('parseIn', () => {
  it.each<[string, InSpec]>([
    ['midi:1', { kind: 'midi', port: '1' }],
    ['midi:Reed Synth:0', { kind: 'midi', port: 'Reed Synth:0' }],
    ['midi: 2', { kind: 'midi', port: ' 2' }],
    ['raw:/dev/snd/midiC1D0', { kind: 'raw', path: '/dev/snd/midiC1D0' }],
    ['raw:a:b', { kind: 'raw', path: 'a:b' }],
    ['raw:midi:1', { kind: 'raw', path: 'midi:1' }],
  ])('%s', (text, expected) => {
    expect(parseIn(text)).toStrictEqual({ ok: true, value: expected });
  });

  // What can be heard through is not always what can be listened to.
  it.each([
    '',
    'midi',
    'midi:',
    'raw',
    'raw:',
    'sound',
    'none',
    'virtual',
    'virtual:stage',
    ':1',
    'MIDI:1',
    ' midi:1',
  ])('%j is refused with what would be right', (text) => {
    const outcome = parseIn(text);
    expect(outcome.ok ? '' : outcome.fault.message).toBe(
      `“${text}” is not a source of a clock; write midi:NAME-OR-NUMBER or raw:PATH`,
    );
  });

  it('quotes nothing that could steer a terminal', () => {
    const outcome = parseIn('\u001b[2Jmidi:1');
    expect(outcome.ok ? '' : outcome.fault.message).toContain('␛[2J');
  });

  it('takes every name of one line as it is, and answers any text', () => {
    const name = fc.string({ minLength: 1, unit: 'grapheme' });
    fc.assert(
      fc.property(name, fc.constantFrom('midi', 'raw'), (text, kind) => {
        const expected = kind === 'midi' ? { kind, port: text } : { kind, path: text };
        expect(parseIn(`${kind}:${text}`)).toStrictEqual({ ok: true, value: expected });
        expect(parseIn(`virtual:${text}`).ok).toBe(false);
      }),
    );
  });
});
