import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { NotWritten } from '../../src/config/why-not.js';
import { KeptSound } from '../../src/ear/keep.js';
import { bytesOf, openWav } from '../../src/listen/wav.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'kept-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

function samplesOf(path: string): number[] {
  const wav = openWav(bytesOf(readFileSync(path)));
  if (!wav.ok) throw new Error(wav.fault);
  return [...wav.value.samples(0, 1e6)];
}

describe('KeptSound', () => {
  it('reads back while it is written, and says how long it is when it is closed', () => {
    const path = join(folder, 'take.wav');
    const kept = KeptSound.begin(path, 8000, false);
    kept.write(Float32Array.of(0.5, -0.5));
    // As a writer leaves it that is killed.
    expect(samplesOf(path)).toStrictEqual([0.5, -0.5]);
    kept.write(Float32Array.of(0.25));
    kept.close();
    kept.close();
    kept.write(Float32Array.of(1));
    expect(samplesOf(path)).toStrictEqual([0.5, -0.5, 0.25]);
    expect(readFileSync(path).readUInt32LE(40)).toBe(6);
    expect(readFileSync(path).readUInt32LE(4)).toBe(readFileSync(path).length - 8);
  });

  it('says from each second to the next how long it is', () => {
    const path = join(folder, 'take.wav');
    const kept = KeptSound.begin(path, 8000, false);
    kept.write(new Float32Array(8000));
    kept.write(new Float32Array(100));
    expect(readFileSync(path).readUInt32LE(40)).toBe(16_000);
    kept.close();
  });

  it('writes nothing over; what is heard again goes beside it', () => {
    const path = join(folder, 'take.wav');
    writeFileSync(path, 'mine');
    expect(() => KeptSound.begin(path, 8000, false)).toThrow(NotWritten);
    const kept = KeptSound.begin(path, 8000, true);
    kept.close();
    expect(kept.path).toBe(join(folder, 'take-2.wav'));
    expect(readFileSync(path, 'utf8')).toBe('mine');
    expect(existsSync(join(folder, 'take-2.wav'))).toBe(true);
  });

  it('says why where nothing can be written', () => {
    expect(() => KeptSound.begin(join(folder, 'none', 'take.wav'), 8000, false)).toThrow(NotWritten);
  });
});
