import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bytesOf, openWav } from '../../src/listen/wav.js';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';

interface Made {
  readonly code?: number;
  readonly bits?: number;
  readonly channels?: number;
  readonly rate?: number;
  /** Length that the head says the sound has. */
  readonly said?: number;
  readonly data: Uint8Array;
  readonly before?: readonly Buffer[];
  readonly kind?: string;
  readonly extensible?: boolean;
}

function part(name: string, bytes: Uint8Array, said = bytes.length): Buffer {
  const head = Buffer.alloc(8);
  head.write(name, 0, 'latin1');
  head.writeUInt32LE(said, 4);
  return Buffer.concat([head, bytes, Buffer.alloc(bytes.length % 2)]);
}

function made({
  code = 1,
  bits = 16,
  channels = 1,
  rate = 48_000,
  data,
  said,
  before = [],
  kind = 'RIFF',
  extensible = false,
}: Made): Uint8Array {
  const format = Buffer.alloc(extensible ? 40 : 16);
  format.writeUInt16LE(extensible ? 0xfffe : code, 0);
  format.writeUInt16LE(channels, 2);
  format.writeUInt32LE(rate, 4);
  format.writeUInt16LE((channels * bits) / 8, 12);
  format.writeUInt16LE(bits, 14);
  if (extensible) format.writeUInt16LE(code, 24);
  const parts = [...before, part('fmt ', format), part('data', data, said)];
  const length = Buffer.alloc(4);
  length.writeUInt32LE(4 + parts.reduce((sum, one) => sum + one.length, 0));
  return Buffer.concat([Buffer.from(kind, 'latin1'), length, Buffer.from('WAVE'), ...parts]);
}

function read(bytes: Uint8Array): { rate: number; samples: number[] } | string {
  const wav = openWav(bytesOf(bytes));
  if (!wav.ok) return wav.fault;
  return { rate: wav.value.head.rate, samples: [...wav.value.samples(0, 1e6)] };
}

const floats = (...values: number[]): Uint8Array => new Uint8Array(Float32Array.from(values).buffer);
const doubles = (...values: number[]): Uint8Array => new Uint8Array(Float64Array.from(values).buffer);
const shorts = (...values: number[]): Uint8Array => new Uint8Array(Int16Array.from(values).buffer);
const words = (...values: number[]): Uint8Array => new Uint8Array(Int32Array.from(values).buffer);

describe('openWav', () => {
  const table: [string, Made, number[]][] = [
    ['8 bits', { bits: 8, data: Uint8Array.of(128, 0, 192) }, [0, -1, 0.5]],
    ['16 bits', { data: shorts(0, -32768, 16384) }, [0, -1, 0.5]],
    [
      '24 bits',
      { bits: 24, data: Uint8Array.of(0, 0, 0, 0, 0, 0x80, 0, 0, 0x40, 1, 0, 0) },
      [0, -1, 0.5, 2 ** -23],
    ],
    ['32 bits', { bits: 32, data: words(0, -(2 ** 31), 2 ** 30) }, [0, -1, 0.5]],
    ['floats', { code: 3, bits: 32, data: floats(0, -1, 0.5, 1.5) }, [0, -1, 0.5, 1.5]],
    ['doubles', { code: 3, bits: 64, data: doubles(0, -1, 0.5) }, [0, -1, 0.5]],
    ['two channels', { channels: 2, data: shorts(16384, -16384, 16384, 0) }, [0, 0.25]],
    ['the long format', { extensible: true, data: shorts(16384) }, [0.5]],
    [
      'other parts before, of odd length',
      { before: [part('LIST', Buffer.from('abc'))], data: shorts(16384) },
      [0.5],
    ],
    ['a broken last frame', { channels: 2, data: shorts(16384, 16384, 9) }, [0.5]],
    ['a length that was never written', { data: shorts(16384, 0), said: 0xffffffff }, [0.5, 0]],
    ['a length of nought before sound', { data: shorts(16384, 0), said: 0 }, [0.5, 0]],
    ['a length beyond the end', { data: shorts(16384), said: 5000 }, [0.5]],
    [
      'floats that are not numbers, or endless',
      { code: 3, bits: 32, data: floats(Number.NaN, Number.POSITIVE_INFINITY, 0.5) },
      [0, 0, 0.5],
    ],
  ];
  it.each(table)('reads %s', (_, file, samples) => {
    expect(read(made(file))).toStrictEqual({ rate: 48_000, samples });
  });

  it('reads RF64, whose length stands in a part of its own', () => {
    const sizes = Buffer.alloc(28);
    sizes.writeBigUInt64LE(4n, 8);
    const file = made({
      kind: 'RF64',
      before: [part('ds64', sizes)],
      data: shorts(16384, 0, 1, 1),
      said: 0xffffffff,
    });
    expect(read(file)).toStrictEqual({ rate: 48_000, samples: [0.5, 0] });
  });

  it('reads any piece, and no more than is there', () => {
    const wav = openWav(bytesOf(made({ data: shorts(0, 8192, 16384, 24576) })));
    if (!wav.ok) throw new Error(wav.fault);
    expect([...wav.value.samples(1, 2)]).toStrictEqual([0.25, 0.5]);
    expect([...wav.value.samples(3, 9)]).toStrictEqual([0.75]);
    expect(wav.value.samples(-5, -1)).toHaveLength(0);
    expect(wav.value.samples(4, 1)).toHaveLength(0);
  });

  const wrong: [string, Uint8Array, RegExp][] = [
    ['nothing', new Uint8Array(0), /not a WAV file/],
    ['text', Buffer.from('title: a chart\n'), /not a WAV file/],
    ['compressed sound', made({ code: 85, bits: 0, data: shorts(1) }), /format 85, 0 bits.*16-bit PCM/],
    [
      'a sample rate of nought',
      made({ rate: 0, data: shorts(1) }),
      /0 samples a second; from 8000 to 192000/,
    ],
    ['no channel', made({ channels: 0, data: shorts(1) }), /0 channels/],
    [
      'sound before its format',
      Buffer.concat([Buffer.from('RIFF    WAVE'), part('data', shorts(1, 2))]),
      /before the samples begin/,
    ],
    ['no sound', made({ data: shorts(1) }).subarray(0, 36), /no sound/],
  ];
  it.each(wrong)('says what is wrong with %s', (_, bytes, fault) => {
    expect(read(bytes)).toMatch(fault);
  });

  it('neither throws nor answers what is not there, whatever the bytes are', () => {
    const whole = made({
      channels: 2,
      before: [part('LIST', Buffer.from('abc'))],
      data: shorts(1, 2, 3, 4, 5, 6),
    });
    const change = fc.record({ at: fc.nat(whole.length - 1), value: fc.nat(255) });
    fc.assert(
      fc.property(fc.array(change, { maxLength: 8 }), fc.nat(whole.length), (changes, length) => {
        const bytes = Buffer.from(whole);
        for (const { at, value } of changes) bytes[at] = value;
        const wav = openWav(bytesOf(bytes.subarray(0, length)));
        if (!wav.ok) {
          expect(wav.fault).toMatch(/[^.]$/);
          return;
        }
        const samples = wav.value.samples(0, Number.MAX_SAFE_INTEGER);
        expect(samples.length).toBe(wav.value.head.frames);
        expect(samples.length).toBeLessThanOrEqual(length);
        expect(samples.every(Number.isFinite)).toBe(true);
      }),
      { numRuns: 3000 },
    );
  });

  it('asks a file of ten gigabytes for no more than its parts', () => {
    const head = made({ said: 0xffffffff, data: new Uint8Array(0) });
    let most = 0;
    const wav = openWav({
      size: 10e9,
      read: (at, length) => {
        most = Math.max(most, length);
        const bytes = new Uint8Array(length);
        bytes.set(head.subarray(at, at + length));
        return bytes;
      },
    });
    if (!wav.ok) throw new Error(wav.fault);
    expect(wav.value.head.frames).toBe((10e9 - 44) / 2);
    wav.value.samples(4e9, 480);
    expect(most).toBe(960);
  });
});

describe('what is written', () => {
  it('reads back, whether its head says how long it is or not', () => {
    const sound = wavSamples(Float32Array.of(0, 0.5, -1, 2, -2));
    for (const said of [sound.length, null])
      expect(read(Buffer.concat([wavHeader(44_100, said), sound]))).toStrictEqual({
        rate: 44_100,
        samples: [0, 0.5, -1, 32767 / 32768, -1],
      });
  });
});
