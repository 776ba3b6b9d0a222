/** Length of the head that `wavHeader` answers, bytes. */
export const wavHeaderSize = 44;

/**
 * The head of a WAV file of one channel in 16-bit samples. Without `bytes`, the length of its sound, it says that the length is not
 * known: a file has such a head while it is being written, or if its writer crashed, and readers take what is there.
 */
export function wavHeader(rate: number, bytes: number | null): Uint8Array {
  const head = new DataView(new ArrayBuffer(wavHeaderSize));
  const word = (at: number, text: string): void =>
    [...text].forEach((letter, index) => {
      head.setUint8(at + index, letter.charCodeAt(0));
    });
  const most = 0xffffffff;
  const long = bytes === null ? most : Math.min(bytes, most - wavHeaderSize);
  word(0, 'RIFF');
  head.setUint32(4, bytes === null ? most : long + wavHeaderSize - 8, true);
  word(8, 'WAVEfmt ');
  head.setUint32(16, 16, true);
  head.setUint16(20, 1, true);
  head.setUint16(22, 1, true);
  head.setUint32(24, rate, true);
  head.setUint32(28, 2 * rate, true);
  head.setUint16(32, 2, true);
  head.setUint16(34, 16, true);
  word(36, 'data');
  head.setUint32(40, long, true);
  return new Uint8Array(head.buffer);
}

/** Samples from −1 to 1 as 16-bit numbers, the low byte first. What is louder is cut off. */
export function wavSamples(samples: Float32Array): Uint8Array {
  const view = new DataView(new ArrayBuffer(2 * samples.length));
  samples.forEach((sample, index) => {
    view.setInt16(2 * index, Math.max(-32768, Math.min(32767, Math.round(32768 * sample))), true);
  });
  return new Uint8Array(view.buffer);
}
