import { closeSync, fstatSync, readSync } from 'node:fs';
import { openRegular } from '../../config/regular.js';
import { notWritten } from '../../config/why-not.js';
import { type Bytes, openWav } from '../../listen/wav.js';
import { hrtimeMs } from '../../player/host.js';
import { CannotHear, type Source, type SourceEvents } from './source.js';

/** How often sound is passed on, ms, and how much at once at most, seconds: after a stall what is due follows piece by piece. */
const everyMs = 10;
const most = 0.5;

/** The bytes of a file that is open, read as they are asked for. */
export function bytesOfFile(descriptor: number): Bytes {
  return {
    size: fstatSync(descriptor).size,
    read: (at, length) => {
      const bytes = Buffer.alloc(Math.max(0, Math.min(length, fstatSync(descriptor).size - at)));
      let got = 0;
      while (got < bytes.length) {
        const read = readSync(descriptor, bytes, got, bytes.length - got, at + got);
        if (read === 0) break;
        got += read;
      }
      return bytes.subarray(0, got);
    },
  };
}

/** Plays a WAV file to the listener as fast as it would sound. Throws `CannotHear`. */
export function openWavFile(path: string, events: SourceEvents): Source {
  let descriptor: number;
  try {
    descriptor = openRegular(path);
  } catch (error) {
    const there = (error as NodeJS.ErrnoException).code !== 'ENOENT';
    const why = there ? notWritten(error).message : 'there is no such file';
    throw new CannotHear(`${path} cannot be read: ${why}; name a WAV file`, 'absent');
  }
  const wav = openWav(bytesOfFile(descriptor));
  if (!wav.ok) {
    closeSync(descriptor);
    throw new CannotHear(`${path} cannot be heard: ${wav.fault}`, 'other');
  }
  const { rate, frames } = wav.value.head;
  let next = 0;
  const begin = hrtimeMs();
  const close = (): void => {
    clearInterval(timer);
    if (descriptor >= 0) closeSync(descriptor);
    descriptor = -1;
  };
  const timer = setInterval(() => {
    const now = hrtimeMs();
    const due = Math.min(frames, Math.floor(((now - begin) / 1000) * rate), next + Math.floor(most * rate));
    if (due === next && next < frames) return;
    const samples = wav.value.samples(next, due - next);
    // A file that was made shorter meanwhile has no more.
    const ends = due === frames || samples.length < due - next;
    next = due;
    if (samples.length > 0) events.onSound(samples, now);
    if (!ends) return;
    close();
    events.onGone(null);
  }, everyMs);
  return { name: path, rate, by: 'file', close };
}
