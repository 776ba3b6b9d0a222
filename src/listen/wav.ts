import type { Outcome } from '../base/outcome.js';
import { type Bytes, readWavHead, type SampleFormat, type WavHead } from './wav-head.js';

export type { Bytes, WavHead } from './wav-head.js';

/** A WAV file whose sound is read piece by piece: however long it is, no more than a piece is held. */
export interface Wav {
  readonly head: WavHead;
  /** The mean of all channels, −1 to 1, of this many samples from one on; fewer at the end. What is not a number is 0. */
  samples(from: number, count: number): Float32Array;
}

/** Opens a WAV file that `bytes` reads. The fault is one sentence without the file's name, as of `readWavHead`. */
export function openWav(bytes: Bytes): Outcome<Wav, string> {
  const head = readWavHead(bytes);
  if (!head.ok) return head;
  const { channels, format, at, frames } = head.value;
  const frame = (channels * format.bits) / 8;
  return {
    ok: true,
    value: {
      head: head.value,
      samples: (from, count) => {
        const first = Math.max(0, Math.min(frames, Math.floor(from)));
        const wanted = Math.max(0, Math.min(frames - first, Math.floor(count)));
        return mono(bytes.read(at + first * frame, wanted * frame), format, channels);
      },
    },
  };
}

/** Bytes that are held already. */
export function bytesOf(held: Uint8Array): Bytes {
  return { size: held.length, read: (at, length) => held.subarray(at, at + length) };
}

/** Interleaved samples as numbers, the mean of the channels. What is left of a broken frame is left out. */
export function mono(bytes: Uint8Array, format: SampleFormat, channels: number): Float32Array {
  const read = reader(new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength), format);
  const width = format.bits / 8;
  const samples = new Float32Array(Math.floor(bytes.length / (width * channels)));
  for (let index = 0; index < samples.length; index += 1) {
    let sum = 0;
    for (let channel = 0; channel < channels; channel += 1) sum += read((index * channels + channel) * width);
    const mean = sum / channels;
    samples[index] = Number.isFinite(mean) ? Math.max(-loudest, Math.min(loudest, mean)) : 0;
  }
  return samples;
}

/** Floating point files may go beyond 1, but not so far that sums of squares are not numbers any more. */
const loudest = 1000;

function reader(view: DataView, { kind, bits }: SampleFormat): (at: number) => number {
  if (kind === 'float')
    return bits === 32 ? (at) => view.getFloat32(at, true) : (at) => view.getFloat64(at, true);
  switch (bits) {
    case 8:
      return (at) => (view.getUint8(at) - 128) / 128;
    case 16:
      return (at) => view.getInt16(at, true) / 2 ** 15;
    case 24:
      return (at) => (view.getUint8(at) | (view.getInt16(at + 1, true) << 8)) / 2 ** 23;
    default:
      return (at) => view.getInt32(at, true) / 2 ** 31;
  }
}
