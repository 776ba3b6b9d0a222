import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { allTaken, forgetTaken, keepTaken, newTakenName, recallTaken } from '../../src/config/taken-file.js';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barkline-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const chord = { degree: 4, alter: 0, minor: true, seventh: false } as const;
const kept = {
  at: 5,
  key: 'A',
  tempo: 'half=90',
  meter: '2/2',
  taken: { bars: [{ chords: [chord] }, null], split: false, last: 0 },
};

describe('what was being taken down', () => {
  it('is kept under a name of its own until it is forgotten', () => {
    const [one, other] = [newTakenName(), newTakenName()];
    expect(keepTaken(one, kept, folder)).toBeNull();
    keepTaken(other, { ...kept, at: 9 }, folder);
    expect(recallTaken(one, folder)).toEqual(kept);
    expect(allTaken(folder).map(({ name }) => name)).toEqual([other, one]);
    forgetTaken(other, folder);
    expect(allTaken(folder).map(({ name }) => name)).toEqual([one]);
  });

  it.each([
    'no json',
    '{}',
    JSON.stringify({ ...kept, taken: { ...kept.taken, bars: [{ chords: [{ ...chord, degree: 9 }] }] } }),
    JSON.stringify({ ...kept, taken: { ...kept.taken, bars: [{ chords: [] }] } }),
    JSON.stringify({ ...kept, at: 'x' }),
  ])('is none where %j is kept', (text) => {
    mkdirSync(join(folder, 'taken'));
    writeFileSync(join(folder, 'taken', '0123456789abcdef.json'), text);
    expect(allTaken(folder)).toEqual([]);
    expect(recallTaken('../../etc/passwd', folder)).toBeNull();
  });
});
