import { describe, expect, it } from 'vitest';
import { bytesOf, openWav } from '../../src/listen/wav.js';
import { wavHeader, wavSamples } from '../../src/listen/wav-write.js';
import { performance } from './performance.js';
import { heardIn } from './recording.js';
import { plucked } from './strings.js';

const rate = 22_050;
const played = performance({ bpm: 180, bars: 4, seed: 311, ups: true });
const sound = plucked(played, rate).map((sample) => 0.6 * sample);

/** The sound as a file whose format has so many bits of a sample and channels. */
function file(
  code: 1 | 3,
  bits: number,
  channels: number,
  write: (view: DataView, at: number, sample: number) => void,
): Uint8Array {
  const width = bits / 8;
  const head = Buffer.from(wavHeader(rate, sound.length * channels * width));
  head.writeUInt16LE(code, 20);
  head.writeUInt16LE(channels, 22);
  head.writeUInt32LE(rate * channels * width, 28);
  head.writeUInt16LE(channels * width, 32);
  head.writeUInt16LE(bits, 34);
  const data = new Uint8Array(sound.length * channels * width);
  const view = new DataView(data.buffer);
  sound.forEach((sample, index) => {
    for (let channel = 0; channel < channels; channel += 1)
      // The second microphone stands further away.
      write(view, (index * channels + channel) * width, channel === 0 ? sample : 0.4 * sample);
  });
  return Buffer.concat([head, data]);
}

function strokesOf(bytes: Uint8Array) {
  const wav = openWav(bytesOf(bytes));
  if (!wav.ok) throw new Error(wav.fault);
  return heardIn(wav.value);
}

describe('a recording', () => {
  const usual = wavSamples(sound);
  const heard = strokesOf(Buffer.concat([wavHeader(rate, usual.length), usual]));

  it.each([
    ['8 bits', 8, file(1, 8, 1, (view, at, sample) => view.setUint8(at, 128 + Math.round(127 * sample)))],
    [
      '24 bits',
      24,
      file(1, 24, 1, (view, at, sample) => {
        const value = Math.round((2 ** 23 - 1) * sample);
        view.setUint8(at, value & 255);
        view.setInt16(at + 1, value >> 8, true);
      }),
    ],
    ['floating point', 32, file(3, 32, 1, (view, at, sample) => view.setFloat32(at, sample, true))],
    [
      'two channels',
      16,
      file(1, 16, 2, (view, at, sample) => view.setInt16(at, Math.round(32_767 * sample), true)),
    ],
  ])('of %s has the same strokes', (_, bits, bytes) => {
    const found = strokesOf(bytes);
    expect(heard.length).toBeGreaterThan(0.95 * played.length);
    // Steps of 8 bits are noise where strings fade: one stroke more may be heard in it, and one of another kind.
    const faults = bits === 8 ? 1 : 0;
    expect(found.length - heard.length).toBeLessThanOrEqual(faults);
    const same = heard.map(({ sample }) => found.find((one) => Math.abs(one.sample - sample) < rate / 1000));
    expect(same).not.toContain(undefined);
    const others = heard.filter(({ kind }, index) => same[index]?.kind !== kind);
    expect(others.length).toBeLessThanOrEqual(faults);
  });
});
