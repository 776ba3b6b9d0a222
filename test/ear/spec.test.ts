import { describe, expect, it } from 'vitest';
import { earText, parseEar } from '../../src/ear/spec.js';

describe('parseEar', () => {
  it.each([
    ['default', { kind: 'microphone', name: null }],
    ['plughw:CARD=Pod,DEV=0', { kind: 'microphone', name: 'plughw:CARD=Pod,DEV=0' }],
    ['2', { kind: 'microphone', name: '2' }],
    ['file:/tmp/a b.wav', { kind: 'file', path: '/tmp/a b.wav' }],
    ['raw:/tmp/pipe', { kind: 'raw', path: '/tmp/pipe', rate: 48_000 }],
    ['raw:16000:/tmp/pipe', { kind: 'raw', path: '/tmp/pipe', rate: 16_000 }],
  ])('reads %s, and writes it so that it reads again', (text, spec) => {
    const read = parseEar(text);
    expect(read).toStrictEqual({ ok: true, value: spec });
    if (read.ok) expect(parseEar(earText(read.value))).toStrictEqual(read);
  });

  it.each([
    ['  ', /no microphone is named/],
    ['file:', /the path is missing; write file:PATH/],
    ['raw:', /the path is missing/],
    ['raw:100:/tmp/pipe', /a sample rate of 100 cannot be used; write one from 8000/],
  ])('says what is wrong with “%s”', (text, fault) => {
    const read = parseEar(text);
    expect(read.ok ? '' : read.fault.message).toMatch(fault);
  });
});
