import { closeSync, openSync, writeSync } from 'node:fs';
import { parse } from 'node:path';
import { notWritten } from '../config/why-not.js';
import { wavHeader, wavHeaderSize, wavSamples } from '../listen/wav-write.js';

/** The head is brought up to date after this much sound, seconds: if the writer crashes, no more than that is missing from it. */
const headEvery = 1;
/** A WAV file says how long it is in 32 bits: nothing longer is written, bytes. */
const mostBytes = 0xffffffff - 2 * wavHeaderSize;
/** A name that is taken gets a number after it, up to this. */
const mostParts = 999;

/** A WAV file, one channel of 16 bits, that grows as sound comes. Existing files are not overwritten. */
export class KeptSound {
  private written = 0;
  private patched = 0;
  private open = true;

  private constructor(
    /** The file's path: the one that was asked for, or with a number after its name. */
    readonly path: string,
    readonly rate: number,
    private readonly descriptor: number,
  ) {
    writeSync(descriptor, wavHeader(rate, null), 0, wavHeaderSize, 0);
  }

  /**
   * Begins a file. Where listening began again (`again`) and the name is taken by what was heard before, the next free name is
   * taken: `take-2.wav`. Throws `NotWritten`.
   */
  static begin(path: string, rate: number, again: boolean): KeptSound {
    const { dir, name, ext } = parse(path);
    for (let part = 1; ; part += 1) {
      const target = part === 1 ? path : `${dir === '' ? '' : `${dir}/`}${name}-${part}${ext}`;
      try {
        return new KeptSound(target, rate, openSync(target, 'wx'));
      } catch (error) {
        const taken = (error as NodeJS.ErrnoException).code === 'EEXIST';
        if (!taken || !again || part === mostParts) throw notWritten(error);
      }
    }
  }

  /** Writes the next samples. Throws `NotWritten`; the file is closed then, and says what it has. */
  write(samples: Float32Array): void {
    if (!this.open || this.written + 2 * samples.length > mostBytes) return;
    try {
      const bytes = wavSamples(samples);
      for (let at = 0; at < bytes.length; )
        at += writeSync(this.descriptor, bytes, at, bytes.length - at, wavHeaderSize + this.written + at);
      this.written += bytes.length;
      if (this.written - this.patched >= 2 * this.rate * headEvery) this.patch();
    } catch (error) {
      this.close();
      throw notWritten(error);
    }
  }

  /** Ends the file: its head says how long it is. */
  close(): void {
    if (!this.open) return;
    this.open = false;
    try {
      this.patch();
    } catch {
      // The head that is there says that the length is not known, or a shorter one.
    }
    closeSync(this.descriptor);
  }

  private patch(): void {
    writeSync(this.descriptor, wavHeader(this.rate, this.written), 0, wavHeaderSize, 0);
    this.patched = this.written;
  }
}
