import type { Outcome } from '../base/outcome.js';

/** Bytes that can be read in pieces, as those of a file: `read` answers fewer only at the end. */
export interface Bytes {
  readonly size: number;
  read(at: number, length: number): Uint8Array;
}

/** How samples are written: whole numbers (8 bits: from 0 up; more: signed) or floating point numbers. */
export interface SampleFormat {
  readonly kind: 'whole' | 'float';
  readonly bits: 8 | 16 | 24 | 32 | 64;
}

/** What the head of a WAV file says, as far as it can be so. */
export interface WavHead {
  readonly format: SampleFormat;
  readonly channels: number;
  /** Samples a second, of each channel. */
  readonly rate: number;
  /** Where the samples begin, and how many there are of each channel. */
  readonly at: number;
  readonly frames: number;
}

/** The rates that are possible: from telephones up to the fastest sound cards. */
const [leastRate, mostRate] = [8000, 192_000];
const mostChannels = 32;
/** A file with more parts than this before its sound is not a recording. */
const mostParts = 1000;

/**
 * Reads the head of a WAV file (RIFF, RF64, BW64): any order of its parts, their lengths wrong where a recording was broken
 * off: then what is there is taken. The fault is one sentence without the file's name.
 */
export function readWavHead(bytes: Bytes): Outcome<WavHead, string> {
  const start = view(bytes.read(0, 12));
  const kind = start.byteLength === 12 ? word(start, 0) : '';
  if (!['RIFF', 'RF64', 'BW64'].includes(kind) || word(start, 8) !== 'WAVE')
    return no('it is not a WAV file');
  let long: number | null = null;
  let found: Omit<WavHead, 'at' | 'frames'> | null = null;
  let at = 12;
  for (let part = 0; part < mostParts && at + 8 <= bytes.size; part += 1) {
    const head = view(bytes.read(at, 8));
    if (head.byteLength < 8) break;
    const name = word(head, 0);
    const length = head.getUint32(4, true);
    at += 8;
    if (name === 'ds64') {
      const sizes = view(bytes.read(at, 16));
      // The second of its numbers is the length of the sound, of 64 bits.
      if (sizes.byteLength === 16) long = Number(sizes.getBigUint64(8, true));
    } else if (name === 'fmt ') {
      const read = readFormat(view(bytes.read(at, Math.min(length, 40))));
      if (!read.ok) return read;
      found = read.value;
    } else if (name === 'data') {
      if (!found) return no('its format is not given before the samples begin');
      return { ok: true, value: { ...found, at, frames: framesOf(found, bytes.size - at, length, long) } };
    }
    at += length + (length % 2);
  }
  return no('it contains no sound');
}

/** How many samples of each channel there are: no more than the file has, and all of them where its length was never written. */
function framesOf(
  { format, channels }: Pick<WavHead, 'format' | 'channels'>,
  there: number,
  said: number,
  long: number | null,
): number {
  const open = said === 0xffffffff || said === 0;
  const bytes = open ? Math.min(there, long || there) : Math.min(there, said);
  return Math.floor(bytes / ((channels * format.bits) / 8));
}

function readFormat(part: DataView): Outcome<Omit<WavHead, 'at' | 'frames'>, string> {
  if (part.byteLength < 16) return no('the description of its samples is cut off');
  const extensible = part.getUint16(0, true) === 0xfffe && part.byteLength >= 26;
  // The first two bytes of the long name are the short one.
  const code = extensible ? part.getUint16(24, true) : part.getUint16(0, true);
  const channels = part.getUint16(2, true);
  const rate = part.getUint32(4, true);
  const bits = part.getUint16(14, true);
  const fits = code === 1 ? [8, 16, 24, 32].includes(bits) : code === 3 && [32, 64].includes(bits);
  if (!fits) return no(`its sample format is not supported (format ${code}, ${bits} bits); write 16-bit PCM`);
  if (channels < 1 || channels > mostChannels)
    return no(`it has ${channels} channels; from 1 to ${mostChannels} can be read`);
  if (rate < leastRate || rate > mostRate)
    return no(`it has ${rate} samples a second; from ${leastRate} to ${mostRate} can be read`);
  const format = { kind: code === 1 ? 'whole' : 'float', bits } as SampleFormat;
  return { ok: true, value: { format, channels, rate } };
}

function word(bytes: DataView, at: number): string {
  return String.fromCharCode(...Array.from({ length: 4 }, (_, index) => bytes.getUint8(at + index)));
}

function view(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

function no(fault: string): { ok: false; fault: string } {
  return { ok: false, fault };
}
