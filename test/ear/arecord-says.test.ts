import { describe, expect, it } from 'vitest';
import { arecordSays, readPcmList } from '../../src/ear/sources/arecord-says.js';
import { cannotOpen } from '../../src/ear/sources/trouble.js';

describe('what the recorder says', () => {
  it.each([
    ['overrun!!! (at least 212.345 ms long)', { kind: 'lost' }],
    ['         got = 48000Hz, please, try the plug plugin', { kind: 'rate', rate: 48_000 }],
    ['Warning: rate is not accurate (requested = 44100Hz, got = 48000Hz)', { kind: 'rate', rate: 48_000 }],
    [
      'arecord: set_params:1358: Channels count non available',
      { kind: 'fault', said: 'arecord: set_params:1358: Channels count non available' },
    ],
    ["Recording raw data 'stdin' : Float 32 bit Little Endian, Rate 48000 Hz, Mono", null],
  ])('%s', (line, says) => {
    expect(arecordSays(line)).toStrictEqual(says);
  });

  it.each([
    [
      'arecord: main:831: audio open error: Device or resource busy',
      'busy',
      /“hw:1” is in use by another program; close that one/,
    ],
    ['arecord: main:831: audio open error: Permission denied', 'denied', /“hw:1” may not be opened; /],
    ['ALSA lib pcm.c:2666: Unknown PCM hw:1', 'absent', /“hw:1” is not there; connect it/],
    [
      'The requested device is no longer available. For example, it has been unplugged.',
      'absent',
      /is not there/,
    ],
    ['something\nelse', 'other', /cannot be opened \(“something”\); choose another/],
  ])('%s is told so that a person can act', (said, reason, sentence) => {
    const fault = cannotOpen('hw:1', said);
    expect(fault.reason).toBe(reason);
    expect(fault.message).toMatch(sentence);
    expect(fault.message).not.toContain('\n');
  });
});

describe('readPcmList', () => {
  it('keeps what is meant by itself and each card’s inputs with conversion', () => {
    const text = [
      'null',
      '    Discard all samples (playback) or generate zero samples (capture)',
      'default',
      'hw:CARD=Pod,DEV=0',
      '    Field Pod, USB Audio',
      '    Direct hardware device without any conversions',
      'plughw:CARD=Pod,DEV=0',
      '    Field Pod, USB Audio',
      '    Hardware device with all software conversions',
      'pulse',
      '    Sound Server',
      '',
    ].join('\n');
    expect(readPcmList(text)).toStrictEqual([
      { name: 'default', label: 'default' },
      { name: 'plughw:CARD=Pod,DEV=0', label: 'Field Pod, USB Audio' },
      { name: 'pulse', label: 'Sound Server' },
    ]);
  });
});
